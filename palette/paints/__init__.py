"""What is made of swatches: mixtures, what goes on the brush, what to buy, and cards to measure them by."""
