"""What every page set by palette shares: its typefaces."""
