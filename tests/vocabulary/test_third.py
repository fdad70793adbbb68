"""A third begins at its lower bound, and the tip belongs to the last one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.vocabulary.steps import THIRDS
from spikecheck.vocabulary.third import Third, third_at


@pytest.mark.parametrize(
    ("position", "third"),
    [
        (0.0, Third.BASAL), (0.333, Third.BASAL), (1 / 3, Third.CENTRAL), (0.666, Third.CENTRAL),
        (2 / 3, Third.APICAL), (1.0, Third.APICAL),
    ],
)  # fmt: skip
def test_bounds(position: float, third: Third):
    assert third_at(position) is third


@given(st.lists(st.floats(0, 1), min_size=2))
def test_thirds_follow_each_other_from_the_base(positions: list[float]):
    found = [THIRDS.index(third_at(position)) for position in sorted(positions)]
    assert found == sorted(found)
