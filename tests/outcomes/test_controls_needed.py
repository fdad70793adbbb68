"""Sample sizes without or with few events, against published ones."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import UsageError
from spikecheck.intervals import upper_limit
from spikecheck.outcomes import controls_needed


@pytest.mark.parametrize(("seen", "total"), [(0, 59), (1, 93), (2, 124), (3, 153), (4, 181)])
def test_five_percent(seen, total):
    """Wilks SS (1941), Ann. Math. Statist. 12:91-96, one-sided 95 %/95 % limits of order 1 to 5.

    59, 93, 124, 153, 181 are the sample sizes tabled since (from memory).
    """
    assert controls_needed(0.05, seen=seen) == total


@pytest.mark.parametrize(
    ("bound", "confidence", "florets"),
    [(0.01, 0.95, 299), (0.05, 0.95, 59), (0.1, 0.9, 22), (0.05, 0.99, 90), (0.01, 0.99, 459)],
)
def test_no_seed_seen(bound, confidence, florets):
    """``log(1 - c) / log(1 - bound)``, as in the rule of three (Hanley, Lippman-Hand 1983)."""
    assert controls_needed(bound, confidence) == florets


def test_what_was_counted_already_counts():
    assert controls_needed(0.05, florets=20) == 39
    assert controls_needed(0.05, seen=1, florets=60) == 33
    assert controls_needed(0.05, florets=59) == 0
    assert controls_needed(0.05, florets=400) == 0


@given(
    st.floats(0.002, 0.9), st.floats(0.5, 0.999), st.integers(0, 30), st.integers(0, 300),
)  # fmt: skip
def test_exactly_so_many_are_enough(bound, confidence, seen, more):
    florets = seen + more
    needed = controls_needed(bound, confidence, seen=seen, florets=florets)
    total = max(florets + needed, 1)
    assert upper_limit(seen, total, confidence) <= bound + 1e-9
    if needed and total - 1 >= max(seen, 1):
        assert upper_limit(seen, total - 1, confidence) > bound - 1e-9


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ({"bound": 0}, "between 0 and 1"),
        ({"bound": 5}, "Write 5 % as 0.05"),
        ({"bound": 0.05, "confidence": 1}, "between 0 and 1"),
        ({"bound": 0.05, "seen": 3, "florets": 2}, "3 seeds cannot come from 2"),
        ({"bound": 0.05, "seen": -1}, "-1 seeds"),
        ({"bound": 1e-9}, "Take a larger bound"),
    ],
)
def test_what_cannot_be(arguments, said):
    with pytest.raises(UsageError, match=said):
        controls_needed(**arguments)
