"""Reading tags in photos."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TagThresholds:
    """Reading tags in photos.

    Units, reasons and sources: ``tags.toml``.
    """

    match_least: float
    pieces_least: float
    piece_off_most_mm: float
    print_tolerance: float
    scale_error_most: float
    scatter_alike: float
    whole_share: float
    part_scatter_most_mm: float
    beyond_estimate_most: float
    grey_steps_least: float
    grey_spread_most: float
    grey_code_most: float
    grey_code_least: float
    grey_order_least: float
    margin_mm: float
