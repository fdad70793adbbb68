"""How the network-free method finds spike and florets."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SegmentationThresholds:
    """How the network-free method finds spike and florets.

    Units, reasons and sources: ``segmentation.toml``.
    """
