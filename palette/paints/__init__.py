"""Swatch lists: read, checked, matched, mixed, and looked after."""
