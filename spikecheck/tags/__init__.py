"""Printing cross tags: codes with a check character, sheets true to size."""
