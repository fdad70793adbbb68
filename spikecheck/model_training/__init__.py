"""Fits what the finders decide with. People who learn are elsewhere; this fits numbers."""
