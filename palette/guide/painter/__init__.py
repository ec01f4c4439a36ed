"""The guide to paint from: cover, tray, mixing, steps, bench card."""
