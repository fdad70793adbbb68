"""White balance and colour decisions."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ColourThresholds:
    """White balance and colour decisions.

    Units, reasons and sources: ``colour.toml``.
    """
