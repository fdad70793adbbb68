"""How the network-free method tells anthers and their stage."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AntherThresholds:
    """How the network-free method tells anthers and their stage.

    Units, reasons and sources: ``anthers.toml``.
    """

    yellow_b_step: float
    yellow_hue_step_deg: float
    yellow_hue_high_deg: float
    yellow_darker: float
    pale_lightness_step: float
    pale_hue_step_deg: float
    pale_hue_high_deg: float
    pale_chroma_low: float
    green_lightness_step: float
    green_chroma_share: float
    green_hue_reach_deg: float
    area_low_mm2: float
    area_high_mm2: float
    yellow_score: float
    pale_score: float
    green_score: float
    broken_length_mm: float
    floret_reach_px: float
    green_l: float
    green_a: float
    green_b: float
    yellow_l: float
    yellow_a: float
    yellow_b: float
    dehisced_l: float
    dehisced_a: float
    dehisced_b: float
    unlike_any_stage: float
    yellow_green_hue_deg: float
    thin_yellow_mm: float
    thin_pale_mm: float
    thin_green_mm: float
    near_spike_mm: float
    near_opening_mm: float
