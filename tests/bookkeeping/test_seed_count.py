"""Seeds counted whole or by thirds."""

from __future__ import annotations

import pytest

from spikecheck.bookkeeping.seed_count import seed_count
from spikecheck.errors import UsageError
from spikecheck.vocabulary.steps import ThirdCount, Threshed
from tests.season.spikes import spike

THIRDS = ((3, 6), (7, 8), (2, 6))
COUNTS = (ThirdCount(3, 6), ThirdCount(7, 8), ThirdCount(2, 6))
NONE = ((None, None),) * 3


def test_florets_left_out_are_those_kept():
    assert seed_count(spike(florets=20), 12, None, NONE) == Threshed(12, 20)
    assert seed_count(spike(florets=20), 12, 18) == Threshed(12, 18)


def test_thirds_tell_the_whole():
    assert seed_count(spike(florets=30), None, None, THIRDS) == Threshed(12, 20, COUNTS)


@pytest.mark.parametrize(
    ("seeds", "florets", "thirds", "told"),
    [
        (None, None, NONE, "no seeds are given"),
        (3, None, NONE, "no florets are known"),
        (12, 20, ((3, 6), (7, None), (2, 6)), "the central third is not complete"),
        (13, 20, THIRDS, "the thirds make 12 seeds"),
    ],
)
def test_what_is_lacking_is_named(seeds, florets, thirds, told):
    with pytest.raises(UsageError, match=told):
        seed_count(spike(), seeds, florets, thirds)
