"""Blocks of looking: they end after their time and begin anew after a rest."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from spikecheck.practice import Look, current_block
from tests.practice.photos import NUMBERS

START = datetime(2026, 5, 3, 8, tzinfo=UTC)


def at(seconds):
    return START + timedelta(seconds=seconds)


def looks(*times):
    return [Look(at(begun), None if ended is None else at(ended)) for begun, ended in times]


def test_nobody_who_has_not_looked_needs_a_rest():
    block = current_block([], at(0), NUMBERS)
    assert (block.looked_s, block.rest_until) == (0, None)


def test_short_breaks_do_not_end_a_block():
    block = current_block(looks((0, 20), (319, 330)), at(340), NUMBERS)
    assert (block.looked_s, block.rest_until) == (340, None)


def test_a_rest_begins_a_new_one():
    assert current_block(looks((0, 20), (320, 330)), at(340), NUMBERS).looked_s == 20
    assert current_block(looks((0, 20)), at(320), NUMBERS).looked_s == 0


def test_after_twenty_minutes_a_rest_of_five_is_due():
    worn = looks(*((n, n + 100) for n in range(0, 1200, 100)))
    assert current_block(worn[:-1], at(1199), NUMBERS).rest_until is None
    block = current_block(worn, at(1200), NUMBERS)
    assert block.rest_until == at(1500)
    assert current_block(worn, at(1499), NUMBERS).rest_until == at(1500)
    assert current_block(worn, at(1500), NUMBERS).rest_until is None


def test_a_photo_that_was_left_open_is_taken_for_a_block_at_most():
    assert current_block(looks((0, None)), at(30), NUMBERS).looked_s == 30
    assert current_block(looks((0, None)), at(1200 + 300), NUMBERS).looked_s == 0


@given(st.lists(st.tuples(st.floats(0, 400), st.floats(0, 60)), min_size=1, max_size=60))
def test_a_rest_is_due_only_after_a_block_and_never_longer_than_a_rest(steps):
    now, seen = 0.0, []
    for pause, looked in steps:
        seen.append((now + pause, now + pause + looked))
        now += pause + looked
    block = current_block(looks(*seen), at(now), NUMBERS)
    assert 0 <= block.looked_s <= now + 1e-3
    if block.rest_until is None:
        assert block.looked_s < NUMBERS.block_s
    else:
        assert block.looked_s >= NUMBERS.block_s
        assert at(now) < block.rest_until <= at(now + NUMBERS.rest_s)
