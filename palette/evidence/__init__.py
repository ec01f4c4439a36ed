"""From pictures, words and decisions to what they say of a part's colour."""
