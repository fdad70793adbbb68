"""When a photo is too poor to judge."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class QualityThresholds:
    """When a photo is too poor to judge.

    Units, reasons and sources: ``quality.toml``.
    """
