"""When a supervisor's second look says that something is off.

The numbers describe people's work, never a spike, and so stay out of the digest of
:class:`spikecheck.thresholds.Thresholds` that is recorded with a check.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from spikecheck.thresholds.loading import Threshold, build_group, parse_group, read_group_text


@dataclass(frozen=True, slots=True)
class AuditThresholds:
    """Numbers of the audit; units, reasons and sources: ``audit.toml``."""

    confidence: float
    commonest_share: float
    kappa_gap: float
    limit_sigmas: float
    exact_tail: float
    expected_least: float
    spikes_between_false_alarms: float
    worse_odds: float
    detect_share: float
    miss_risk: float
    false_alarm_risk: float
    reference_limit_percent: float
    thumbnails_kept_days: float


@cache
def audit_list() -> tuple[Threshold, ...]:
    """Return every threshold of the audit with unit, reason and source."""
    return parse_group(read_group_text("audit"), group="audit")


@cache
def load_audit() -> AuditThresholds:
    """Return the shipped thresholds of the audit.

    Raises
    ------
    ThresholdError
        If the file is incomplete.
    """
    return build_group(AuditThresholds, audit_list(), group="audit")
