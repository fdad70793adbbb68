"""How a person did, by hand and against published intervals."""

from __future__ import annotations

import pytest

from spikecheck.practice import (
    Kind,
    SizeClass,
    detection_of_counts,
    kind_of,
    learning_curve,
    score,
)
from spikecheck.vocabulary.third import Third
from tests.practice.photos import (
    GREEN,
    NUMBERS,
    REVIEW,
    YELLOW,
    answer,
    clean,
    found,
    leftover,
    overlooked,
    photo,
)


def several(made, count, **traits):
    return [made(f"{made.__name__} {number}", **traits) for number in range(count)]


def test_rates_and_their_intervals():
    """Newcombe 1998, Statistics in Medicine 17:857, Table I: 15 of 148, Wilson 0.0624 to 0.1605.

    Figures from memory, in agreement with the formula.
    """
    known = score([*several(found, 15), *several(overlooked, 133), *several(clean, 20)], NUMBERS)
    assert (known.sensitivity.events, known.sensitivity.trials) == (15, 148)
    assert known.sensitivity.low == pytest.approx(0.0624, abs=5e-5)
    assert known.sensitivity.high == pytest.approx(0.1605, abs=5e-5)
    assert known.false_alarms.value == 0  # 0 of 20 in the same table
    assert known.false_alarms.high == pytest.approx(0.1611, abs=5e-5)
    assert known.detection == detection_of_counts(15, 148, 0, 20)


def test_review_without_seeing_anything_finds_nothing():
    """Whoever says review to everything shows no seeing, and every clean photo is a false alarm."""
    blind = [answer(photo(str(n), leftover()), verdict=REVIEW) for n in range(8)]
    known = score([*blind, *several(clean, 8, verdict=REVIEW)], NUMBERS)
    assert known.sensitivity.value == 0
    assert known.false_alarms.value == 1
    assert known.detection.d_prime < 0


def test_misses_by_kind_count_anthers_and_photos_count_once():
    two = photo(
        "a",
        leftover(100, 100, stage=GREEN, area_mm2=0.1, position=0.1),
        leftover(500, 500, stage=YELLOW, area_mm2=2, position=0.9),
    )
    known = score([answer(two, (500, 500), (900, 900)), overlooked("b", position=0.95)], NUMBERS)
    assert (known.sensitivity.events, known.sensitivity.trials) == (1, 2)
    assert known.astray == 1
    assert {trait: (share.events, share.trials) for trait, share in known.misses} == {
        GREEN: (1, 1), YELLOW: (1, 2),
        SizeClass.SMALL: (1, 1), SizeClass.MIDDLE: (1, 1), SizeClass.LARGE: (0, 1),
        Third.BASAL: (1, 1), Third.APICAL: (1, 2),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("area_mm2", "position", "size", "third"),
    [
        (0.2499, 0, SizeClass.SMALL, Third.BASAL),
        (0.25, 0.333, SizeClass.MIDDLE, Third.BASAL),
        (0.999, 1 / 3, SizeClass.MIDDLE, Third.CENTRAL),
        (1.0, 2 / 3, SizeClass.LARGE, Third.APICAL),
        (9.0, 1, SizeClass.LARGE, Third.APICAL),
    ],
)
def test_a_class_begins_at_its_lower_bound(area_mm2, position, size, third):
    one = leftover(stage=GREEN, area_mm2=area_mm2, position=position)
    assert kind_of(one, NUMBERS) == Kind(GREEN, size, third)


def test_median_time():
    times = [clean(str(n)) for n in range(2)]
    assert score(times, NUMBERS).median_s == 12
    slow = answer(photo("slow"), seconds=40)
    assert score([*times[:1], slow], NUMBERS).median_s == 26


def test_the_learning_curve_goes_block_by_block():
    first = [*several(found, 1), *several(overlooked, 3)]
    curve = learning_curve([first, several(clean, 3), several(found, 4)], NUMBERS)
    assert [one and (one.events, one.trials) for one in curve] == [(1, 4), None, (4, 4)]
    assert curve[0].low < 0.25 < curve[0].high
    assert curve[2].high == pytest.approx(1)


def test_nothing_is_said_of_nothing():
    none = score([], NUMBERS)
    assert (none.sensitivity, none.false_alarms, none.detection, none.median_s) == (None,) * 4
    assert none.misses == ()
    only_clean = score(several(clean, 2), NUMBERS)
    assert only_clean.sensitivity is None
    assert only_clean.detection is None
