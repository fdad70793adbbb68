"""Spikes told together."""

from __future__ import annotations

from datetime import UTC

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.season.agenda import TaskKind, agenda, grouped, spike_list
from tests.season.spikes import DAY, FIRST, HOUR, NUMBERS, spike


@pytest.mark.parametrize(
    ("numbers", "text"),
    [
        ([1, 2, 3, 4, 7], "1\N{EN DASH}4, 7"),
        ([5], "5"),
        ([2, 1], "1\N{EN DASH}2"),
        ([1, 3, 5], "1, 3, 5"),
        ([], ""),
    ],
)
def test_runs_are_drawn_together(numbers, text):
    assert spike_list(numbers) == text


@given(st.sets(st.integers(1, 60)))
def test_a_list_of_spikes_names_each_once(numbers):
    named = []
    for part in filter(None, spike_list(numbers).split(", ")):
        first, _, last = part.partition("\N{EN DASH}")
        named += range(int(first), int(last or first) + 1)
    assert named == sorted(numbers)


def test_one_cross_one_step_one_day_one_urgency_is_one_group():
    records = [spike(number) for number in (7, 1, 2, 3, 4)]
    records += [spike(5, emasculated_at=FIRST - DAY), spike(6, emasculated_at=None)]
    records += [spike(1, cross="C-015")]
    tasks = agenda(records, now=FIRST + 12 * HOUR, courses={}, numbers={"wheat": NUMBERS}, zone=UTC)
    titles = {(group.kind, group.title) for group in grouped(tasks)}
    assert titles == {
        (TaskKind.CHECK, "C-014: spike 5"),
        (TaskKind.CHECK, "C-014: spikes 1\N{EN DASH}4, 7"),
        (TaskKind.EMASCULATE, "C-014: spike 6"),
        (TaskKind.CHECK, "C-015: spike 1"),
    }
    assert grouped(tasks)[0].title == "C-014: spike 5", "the most urgent comes first"
    assert grouped(tasks)[0].state == "overdue"
    assert grouped(tasks)[0].to_do == "Take photos and check"
