"""How much grey pictures tell of a paint, and whether the odds given are true."""
