"""Runs trained networks: manifest, digest, session, pre-processing."""
