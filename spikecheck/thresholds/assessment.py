"""When a spike passes."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AssessmentThresholds:
    """When a spike passes.

    Units, reasons and sources: ``assessment.toml``.
    """

    anther_score_least: float
    anther_score_sure: float
    cavity_seen_least: float
    unexplained_share_most: float
    florets_least: int
    floret_leftover_prior: float
    finder_recall: float
    not_clipped_leftover: float
    cross_seed_set: float
    p_leftover_most: float
    reasons_listed_most: int
