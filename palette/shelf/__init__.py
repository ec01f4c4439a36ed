"""The life of a kit after its colours are found: bundles, editions, and a site over many kits."""
