"""Corrections: what counts is what was put right; everything stays readable."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import StepError
from spikecheck.history.replay import (
    may_be_corrected,
    moment_of_override,
    replay,
    steps_in_force,
)
from spikecheck.vocabulary import Entry, Step, Verdict
from spikecheck.vocabulary.steps import Emasculated, Overridden, Selected, Tagged, kind_of
from tests.history.spike_way import SPIKE, at, checked, step, steps

if TYPE_CHECKING:
    import random


def entry(number: int, what: Step | None, corrects: int | None = None) -> Entry:
    kind = kind_of(what.detail) if what is not None else kind_of(Selected())
    return Entry(number, kind, what, corrects, at(100), "Ida", "typed wrong" if corrects else "")


def test_correction_takes_the_place_of_what_it_names():
    entries = [
        entry(1, step(Emasculated(20, 57), 1)),
        entry(2, step(Tagged("A"), 2)),
        entry(3, step(Emasculated(20, 60), 1), corrects=1),
    ]
    assert [one.detail for one in steps_in_force(entries)] == [Emasculated(20, 60), Tagged("A")]


def test_correction_of_a_correction_and_taking_back():
    entries = [
        entry(1, step(Selected(55), 1)),
        entry(2, step(Selected(57), 1), corrects=1),
        entry(3, step(Selected(59), 1), corrects=2),
    ]
    assert [one.detail for one in steps_in_force(entries)] == [Selected(59)]
    entries.append(entry(4, None, corrects=3))
    assert steps_in_force(entries) == ()


@given(st.randoms(use_true_random=False))
def test_order_of_writing_does_not_matter(shuffler: random.Random):
    """Paper notes typed in the evening come to the same as notes typed at once."""
    written = list(steps())
    shuffler.shuffle(written)
    entries = [entry(number, one) for number, one in enumerate(written, start=1)]
    assert replay(SPIKE, steps_in_force(entries), places={}) == replay(SPIKE, steps(), places={})


def test_steps_of_one_moment_come_in_the_order_of_the_way():
    written = [replace(one, at=at(0)) for one in reversed(steps())]
    entries = [entry(number, one) for number, one in enumerate(written, start=1)]
    record = replay(SPIKE, steps_in_force(entries), places={})
    assert record.seeds == 12


@pytest.mark.parametrize(
    ("number", "why"),
    [
        (1, "entry 1 was corrected by entry 2 already"),
        (9, "the spike has no entry 9"),
        (3, "entry 3 only takes another one back"),
    ],
)
def test_what_cannot_be_corrected(number: int, why: str):
    entries = [
        entry(1, step(Selected(55), 1)),
        entry(2, step(Selected(57), 1), corrects=1),
        entry(3, None, corrects=2),
    ]
    with pytest.raises(StepError, match=why):
        may_be_corrected(entries, number)


def test_checks_stay():
    entries = [entry(1, steps()[3])]
    with pytest.raises(StepError, match="is a check or an override"):
        may_be_corrected(entries, 1)


def test_override_of_now_follows_the_check_although_the_clock_was_set_back():
    entries = [entry(1, step(checked(), 3)), entry(2, step(checked(number=2), 5))]
    assert moment_of_override(entries, 1, at=None, now=at(4)) == at(4)
    assert moment_of_override(entries, 1, at=None, now=at(2)) == at(3)
    entries.append(entry(3, step(Overridden(1, Verdict.REVIEW, "not sure"), 4)))
    assert moment_of_override(entries, 1, at=None, now=at(2)) == at(4)
    assert moment_of_override(entries, 1, at=at(4), now=at(9)) == at(4)
    with pytest.raises(StepError, match=r"check 1: cannot be overridden at .* it was overridden"):
        moment_of_override(entries, 1, at=at(3.9), now=at(9))
    with pytest.raises(StepError, match=r"check 2: cannot be overridden at .* it was checked at"):
        moment_of_override(entries, 2, at=at(4), now=at(9))
