"""What a colour is: notations, spaces, differences, spectra, and how films and cameras see them."""
