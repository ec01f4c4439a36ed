"""Photographs of painted cards to a swatch list: the marks found, the sheet laid straight, its light evened
out by the bare paper, its colours corrected, and each box measured or left out with the reason."""
