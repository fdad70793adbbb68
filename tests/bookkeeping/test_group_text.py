"""What a group of tasks says."""

from __future__ import annotations

from datetime import UTC

from spikecheck.bookkeeping.group_text import group_text
from spikecheck.season.agenda import agenda, grouped
from spikecheck.vocabulary import Verdict
from tests.season.spikes import FIRST, HOUR, NUMBERS, place, spike


def only_group(*records, courses=None):
    tasks = agenda(
        records, now=FIRST + 18 * HOUR, courses=courses or {}, numbers={"wheat": NUMBERS}, zone=UTC
    )
    (group,) = grouped(tasks)
    return group


def passed(number, *, hours):
    return spike(number, checked_at=FIRST + hours * HOUR, verdict=Verdict.PASS)


def test_one_sentence_for_all_does_not_name_spikes():
    told = group_text(only_group(passed(1, hours=14), passed(2, hours=14)))
    (sentence,) = told.sentences
    assert sentence.startswith("Bag by about 2026-05-")
    (remark,) = told.remarks
    assert "are assumed" in remark
    assert remark not in sentence


def test_the_most_pressing_sentence_comes_first_and_names_its_spikes():
    told = group_text(
        only_group(passed(1, hours=16), passed(2, hours=14), passed(3, hours=14))
    )  # fmt: skip
    first, second = told.sentences
    assert first.startswith("Spikes 2\N{EN DASH}3: Bag by ")
    assert second.startswith("Spike 1: Bag by ")
    assert first.rpartition("by ")[2] < second.rpartition("by ")[2]
    assert len(told.remarks) == 1


def test_measured_temperatures_need_no_remark():
    courses = {"House 2": place(*[20] * 30)}
    assert group_text(only_group(passed(1, hours=14), courses=courses)).remarks == ()
