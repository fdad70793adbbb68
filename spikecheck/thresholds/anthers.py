"""How the network-free method tells anthers and their stage."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AntherThresholds:
    """How the network-free method tells anthers and their stage.

    Units, reasons and sources: ``anthers.toml``.
    """
