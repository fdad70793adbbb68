"""Which leftovers were marked: one mark a leftover, as many as possible, the nearest."""

from __future__ import annotations

from itertools import permutations
from math import hypot, inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import UsageError
from spikecheck.practice import Mark, compare
from tests.practice.photos import (
    NUMBERS,
    PASS,
    PX_PER_MM,
    REVIEW,
    answer,
    clean,
    leftover,
    photo,
)

RADIUS_PX = NUMBERS.mark_radius_mm * PX_PER_MM


def test_a_mark_counts_up_to_the_radius():
    one = photo("a", leftover(100, 100))
    assert compare(answer(one, (100, 100 + RADIUS_PX)), NUMBERS).hit
    beyond = compare(answer(one, (100, 100 + RADIUS_PX + 0.01)), NUMBERS)
    assert not beyond.hit
    assert beyond.missed == one.leftovers
    assert beyond.astray == (Mark(100, 100 + RADIUS_PX + 0.01),)


def test_one_mark_is_one_anther():
    two = photo("a", leftover(100, 100), leftover(100, 110))
    once = compare(answer(two, (100, 104)), NUMBERS)
    assert (len(once.found), len(once.missed), once.astray) == (1, 1, ())
    assert once.found == (two.leftovers[0],)
    thrice = compare(answer(two, (100, 104), (100, 105), (100, 106)), NUMBERS)
    assert (len(thrice.found), len(thrice.astray)) == (2, 1)


def test_no_leftover_is_given_up_for_a_nearer_pair():
    """The mark between both is nearest to the second, which has another: greedy would lose one."""
    two = photo("a", leftover(100, 100), leftover(100, 140))
    assert len(compare(answer(two, (100, 125), (100, 160)), NUMBERS).found) == 2


def test_review_without_a_mark_is_no_hit_and_on_a_clean_spike_a_false_alarm():
    unsure = compare(answer(photo("a", leftover()), verdict=REVIEW), NUMBERS)
    assert not unsure.hit
    assert not unsure.false_alarm
    assert compare(clean("b", verdict=REVIEW), NUMBERS).false_alarm
    assert not compare(clean("b"), NUMBERS).false_alarm


places = st.tuples(st.floats(0, 120), st.floats(0, 120))


@given(st.lists(places, max_size=4), st.lists(places, max_size=4), st.randoms())
def test_pairs_are_as_many_and_as_near_as_can_be(there, said, shuffler):
    item = photo("a", *(leftover(*place) for place in there))
    known = compare(answer(item, *said), NUMBERS)
    best = best_by_trying(there, said)
    distance = sum(
        hypot(there[i][0] - said[j][0], there[i][1] - said[j][1]) for i, j in known.pairs
    )
    assert -len(known.pairs) == best[0]
    assert distance == pytest.approx(best[1], abs=1e-6)
    assert len({i for i, _ in known.pairs}) == len({j for _, j in known.pairs}) == len(known.pairs)
    assert len(known.found) + len(known.missed) == len(there)
    assert len(known.found) + len(known.astray) == len(said)
    shuffler.shuffle(said)
    assert len(compare(answer(item, *said), NUMBERS).pairs) == len(known.pairs)


def best_by_trying(there, said):
    """Fewest negative pairs, then px apart, over every way to pair them."""
    few, many = sorted((there, said), key=len)
    ways = []
    for chosen in permutations(many, len(few)):
        apart = [hypot(a[0] - b[0], a[1] - b[1]) for a, b in zip(few, chosen, strict=True)]
        near = [px for px in apart if px / PX_PER_MM <= NUMBERS.mark_radius_mm]
        ways.append((-len(near), sum(near)))
    return min(ways)


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (lambda: answer(photo("a"), (1, 1), verdict=PASS), "a spike with a leftover marked"),
        (lambda: answer(photo("a"), seconds=-1), "0 s or more"),
        (lambda: answer(photo("a"), seconds=nan), "0 s or more"),
        (lambda: answer(photo("a"), (1, inf)), "two finite numbers"),
        (lambda: photo(""), "needs an id"),
        (lambda: leftover(area_mm2=0), "is positive"),
        (lambda: leftover(position=1.1), "lies in 0..1"),
        (lambda: leftover(row=nan), "two finite numbers"),
    ],
)
def test_what_cannot_be_is_one_line(made, said):
    with pytest.raises(UsageError, match=said):
        made()
