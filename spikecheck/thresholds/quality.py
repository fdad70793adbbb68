"""When a photo is too poor to judge."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class QualityThresholds:
    """When a photo is too poor to judge.

    Units, reasons and sources: ``quality.toml``.

    Parameters
    ----------
    least_px_per_mm, least_low_px_per_mm
        Least scale by its best value, and by its lower bound.
    longest_prepared_spike_mm
        What a spike is taken to measure when the scale is not known.
    largest_hidden_share, largest_unclipped_share
        Of the axis that something lies over; of the florets not clipped.
    tile_length_mm
        Length along the axis that is judged in one piece.
    largest_blur_mm, largest_blurred_share, largest_blurred_share_if_clear
        Blur that hides an anther, and share of the spike that may have it.
    least_edge_contrast
        Contrast of the edges that blur is measured on.
    largest_smear_mm, least_smear_ratio
        Movement that hides an anther, and how much worse than across it must be along it.
    least_lightness, least_tile_lightness, largest_dark_share
        CIE L* of the spike, of a tile, and share of tiles that may lie below.
    burnt_level
        Channel value from which it counts as at the ceiling.
    largest_burnt_share, largest_burnt_share_of_tile, largest_burnt_tile_share
        Of the spike, of a tile, and share of tiles that may lie above.
    largest_burnt_share_of_photo
        Of a whole photo in which no spike was recognised.
    """

    least_px_per_mm: float
    least_low_px_per_mm: float
    longest_prepared_spike_mm: float
    largest_hidden_share: float
    largest_unclipped_share: float
    tile_length_mm: float
    largest_blur_mm: float
    largest_blurred_share: float
    largest_blurred_share_if_clear: float
    least_edge_contrast: float
    largest_smear_mm: float
    least_smear_ratio: float
    least_lightness: float
    least_tile_lightness: float
    largest_dark_share: float
    burnt_level: float
    largest_burnt_share: float
    largest_burnt_share_of_tile: float
    largest_burnt_tile_share: float
    largest_burnt_share_of_photo: float
