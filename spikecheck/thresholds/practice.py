"""How people practise, in numbers.

They judge no photo, and so stay out of the digest of :class:`spikecheck.thresholds.Thresholds`
that is recorded with a check.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from spikecheck.thresholds.loading import Threshold, build_group, parse_group, read_group_text


@dataclass(frozen=True, slots=True)
class PracticeThresholds:
    """How people practise seeing leftovers, and when they are signed off.

    Units, reasons and sources: ``practice.toml``.
    """

    mark_radius_mm: float
    leftovers_least: float
    leftovers_most: float
    block_s: float
    viewing_s: float
    rest_s: float
    session_photos: float
    seen_from_mm2: float
    small_below_mm2: float
    large_from_mm2: float
    expected_miss_share: float
    expected_seen: float
    acceptable_miss_rate: float
    unacceptable_miss_rate: float
    good_sent_back: float
    poor_signed_off: float
    confidence: float


@cache
def practice_list() -> tuple[Threshold, ...]:
    """Return every threshold of practice with unit, reason and source."""
    return parse_group(read_group_text("practice"), group="practice")


@cache
def load_practice() -> PracticeThresholds:
    """Return the shipped thresholds of practice.

    Raises
    ------
    ThresholdError
        If the file is incomplete.
    """
    return build_group(PracticeThresholds, practice_list(), group="practice")
