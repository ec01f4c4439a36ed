"""The maker's record: kit.toml read, checked, started, and changed without losing a comment."""
