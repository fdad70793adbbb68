"""Limits on what is read as a photo."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ReadingThresholds:
    """Limits on what is read as a photo.

    Units, reasons and sources: ``reading.toml``.

    Parameters
    ----------
    largest_file_mb
        Largest file, 10^6 bytes.
    largest_photo_megapixels
        Most pixels, 10^6.
    longest_side_px
        Most rows or columns.
    """

    largest_file_mb: float
    largest_photo_megapixels: float
    longest_side_px: float
