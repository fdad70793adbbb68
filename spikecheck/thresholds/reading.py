"""Limits on what is read as a photo."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ReadingThresholds:
    """Limits on what is read as a photo.

    Units, reasons and sources: ``reading.toml``.
    """
