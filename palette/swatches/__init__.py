"""Swatch lists: the user's own paints, read, checked, written back, compared and merged."""
