"""How the maps of any network are read."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class NetworkThresholds:
    """How the maps of any network are read; what fits one network alone is in its ``model.toml``.

    Units, reasons and sources: ``networks.toml``.
    """

    spike_area_least: float
    joined_offset_widths: float
    other_length_share: float
    direction_sure: float
    edge_cells: float
    occluded_share: float
    zoom_most: float
    spike_longest_mm: float
    beside_spike_mm: float
    strip_half_width_most_mm: float
    strip_margin_mm: float
    tile_rows_most: float
    tile_overlap_rows: float
    floret_apart_mm: float
    anther_apart_mm: float
    floret_reach_mm: float
    smallest_extent_mm: float
    tissue_least: float
    rachis_width_mm: float
    explained_reach_mm: float
    uncut_width_mm: float
    occluder_band_mm: float
    occluder_row_share: float
