"""Loose pictures into colours: one colour a painted surface, in sun and shade alike."""
