"""The check of one spike at the bench, in numbers.

They judge no photo, and so stay out of the digest of :class:`spikecheck.thresholds.Thresholds`
that is recorded with a check.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from spikecheck.thresholds.loading import Threshold, build_group, parse_group, read_group_text


@dataclass(frozen=True, slots=True)
class BenchThresholds:
    """Numbers of the bench; units, reasons and sources: ``bench.toml``."""

    photos_most: int
    draft_days: float
    bag_after_s: float


@cache
def bench_list() -> tuple[Threshold, ...]:
    """Return every threshold of the bench with unit, reason and source."""
    return parse_group(read_group_text("bench"), group="bench")


@cache
def load_bench() -> BenchThresholds:
    """Return the shipped thresholds of the bench.

    Raises
    ------
    ThresholdError
        If the file is incomplete.
    """
    return build_group(BenchThresholds, bench_list(), group="bench")
