"""Leftover anthers and their stage."""
