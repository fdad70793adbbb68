"""Compares results with truth."""
