"""The card for measuring one's own paints: where everything stands on it, what its marks and charts are."""
