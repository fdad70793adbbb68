"""White balance and colour decisions."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ColourThresholds:
    """White balance and colour decisions.

    Units, reasons and sources: ``colour.toml``.
    """

    plant_hue_low_deg: float
    plant_hue_high_deg: float
    plant_chroma_low: float
    grey_lightness_low: float
    grey_lightness_high: float
    grey_chroma_high: float
    grey_spread_high: float
    grey_share_low: float
    grey_green_hue_low_deg: float
    gain_high: float
    green_hue_low_deg: float
