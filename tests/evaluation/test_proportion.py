"""Intervals refuse counts that cannot be; a proportion knows its own."""

from __future__ import annotations

import pytest

from spikecheck.errors import UsageError
from spikecheck.evaluation import (
    Proportion,
)
from spikecheck.intervals import clopper_pearson_interval, upper_limit, wilson_interval


@pytest.mark.parametrize("interval", [wilson_interval, clopper_pearson_interval, upper_limit])
@pytest.mark.parametrize(("events", "trials"), [(0, 0), (3, 2), (-1, 5)])
def test_counts_out_of_range(interval, events: int, trials: int):
    with pytest.raises(UsageError, match=f"got {events} of {trials}"):
        interval(events, trials)


@pytest.mark.parametrize("confidence", [0.0, 1.0, 95])
def test_confidence_out_of_range(confidence: float):
    with pytest.raises(UsageError, match="lies between 0 and 1"):
        wilson_interval(1, 2, confidence)


def test_a_proportion_of_nothing_has_no_share():
    nothing = Proportion(0, 0)
    assert (nothing.share, nothing.wilson, nothing.exact, nothing.upper) == (None,) * 4


def test_a_proportion_knows_its_intervals():
    half = Proportion(10, 20)
    assert half.share == 0.5
    assert half.wilson == wilson_interval(10, 20)
    assert half.exact == clopper_pearson_interval(10, 20)
    assert half.upper == upper_limit(10, 20)
