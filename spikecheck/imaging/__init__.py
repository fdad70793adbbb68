"""Colour, geometry and drawing: what several stages need of an image."""
