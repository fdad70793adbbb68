"""Two readings of a spike: who may read, what holds, and the table for kappa."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.audit.agreement import reader_agreement
from spikecheck.audit.blind import (
    ReadingPair,
    agreement_table,
    pair_readings,
)
from spikecheck.errors import UsageError
from spikecheck.vocabulary.verdict import Verdict
from tests.audit.records import reading

ANSWERS = st.sampled_from(["pass", "review"])


def test_readings_become_kappa():
    """[20 5; 10 15], kappa 0.4: a worked example of many textbooks."""
    answers = [("pass", "pass")] * 20 + [("pass", "review")] * 5
    answers += [("review", "pass")] * 10 + [("review", "review")] * 15
    paired = pair_readings(
        [reading(k, first, "Ida") for k, (first, _) in enumerate(answers)],
        [reading(k, second, "Ole") for k, (_, second) in enumerate(answers)],
    )
    table = agreement_table(paired.pairs)
    assert table == ((20, 5), (10, 15))
    assert reader_agreement(table).kappa.value == pytest.approx(0.4)
    assert sum(not pair.same for pair in paired.pairs) == 15


@pytest.mark.parametrize(
    ("first", "second", "verdict"),
    [
        ("pass", "pass", Verdict.PASS),
        ("pass", "review", Verdict.REVIEW),
        ("review", "pass", Verdict.REVIEW),
        ("review", "review", Verdict.REVIEW),
        ("unsure", "unsure", Verdict.REVIEW),
    ],
)
def test_a_spike_passes_only_where_both_say_so(first, second, verdict):
    assert ReadingPair(reading(1, first, "Ida"), reading(1, second, "Ole")).verdict is verdict


@given(st.dictionaries(st.integers(1, 9), ANSWERS), st.dictionaries(st.integers(1, 9), ANSWERS))
def test_every_spike_lands_in_one_place(first, second):
    paired = pair_readings(
        [reading(k, answer, "Ida") for k, answer in first.items()],
        [reading(k, answer, "Ole") for k, answer in second.items()],
    )
    twice = {pair.spike.spike for pair in paired.pairs}
    assert twice == set(first) & set(second)
    assert {name.spike for name in paired.first_only} == set(first) - set(second)
    assert {name.spike for name in paired.second_only} == set(second) - set(first)
    table = agreement_table(paired.pairs)
    assert sum(map(sum, table)) == len(twice)
    assert sum(not pair.same for pair in paired.pairs) == table[0][1] + table[1][0]


def test_ordered_classes_keep_their_order():
    pair = ReadingPair(reading(1, "none", "Ida"), reading(1, "several", "Ole"))
    assert agreement_table([pair], ("none", "one", "several")) == ((0, 0, 1), (0, 0, 0), (0, 0, 0))


def test_nobody_is_their_own_second_reader():
    with pytest.raises(UsageError, match="Ida read it both times"):
        pair_readings([reading(1, "pass", "Ida")], [reading(1, "pass", "Ida")])


def test_readings_that_cannot_be_are_refused():
    one, other = reading(1, "pass", "Ida"), reading(2, "pass", "Ole")
    pair = ReadingPair(one, reading(1, "maybe", "Ole"))
    for asked in (
        lambda: ReadingPair(one, other),
        lambda: pair_readings([one, one], []),
        lambda: pair_readings([], [one, one]),
        lambda: agreement_table([pair]),
        lambda: agreement_table([], ("pass", "pass")),
        lambda: reading(1, "pass", ""),
    ):
        with pytest.raises(UsageError):
            asked()
