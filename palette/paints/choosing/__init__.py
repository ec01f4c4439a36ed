"""What goes on the brush for a part: proposals from the lists, and the one that is chosen."""
