"""How the network-free method finds spike and florets."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SegmentationThresholds:
    """How the network-free method finds spike and florets.

    Units, reasons and sources: ``segmentation.toml``.
    """

    reduced_side_px: int
    body_area_low: float
    plant_share_high: float
    awn_opening_share: float
    body_closing_share: float
    body_opening_share: float
    body_elongation_low: float
    body_elongation_high: float
    join_width_factor: float
    join_gap_widths: float
    peduncle_width_low: float
    peduncle_width_high: float
    strip_width_px: int
    strip_half_width: float
    strip_margin: float
    other_length_share: float
    detail_low: float
    clearly_better: float
    opening_log_odds: float
    opening_doubt_log_odds: float
    opening_apart_px: float
    front_offset_px: float
    gap_spacings: float
    spacing_low_px: float
    spacing_high_px: float
    spikelet_strength: float
    certain_log_odds: float
    openings_least: int
    opening_width_mm: float
    opening_width_reach: float
    unclipped_offset_px: float
    cavity_darkness: float
    closed_dark_share: float
    detail_noise: float
    least_strip_px: int
    blurred_edge_px: float
    same_side_spacing_mm: float
    same_side_spacing_reach: float
    spike_width_mm: float
    spike_width_reach: float
    readable_width_px: float
    slenderness_high: float
    peduncle_alone: float
    proposal_rim_low: float
    proposal_dark_low: float
    proposal_sum_low: float
    proposals_most: int
    peduncle_sections: int
