"""Spike, axis and florets."""
