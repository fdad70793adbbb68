"""When a spike passes."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AssessmentThresholds:
    """When a spike passes.

    Units, reasons and sources: ``assessment.toml``.
    """
