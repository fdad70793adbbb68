"""Version of the generator: the same kind, seed, scale and version always give the same image."""

from __future__ import annotations

GENERATOR_VERSION = "1"
