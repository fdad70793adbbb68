"""What comes next at the bench, and that no bag is recorded by a tap too many."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from spikecheck.bookkeeping.bench import (
    AfterCheck,
    BenchStep,
    after_check,
    bench_step,
    next_number,
    record_bag,
)
from spikecheck.errors import StepError
from spikecheck.thresholds.bench import load_bench
from spikecheck.vocabulary import SpikeRecord, Verdict
from spikecheck.vocabulary.steps import Bagged, Emasculated
from tests.bookkeeping.invented import HOUR, NOW, checked, did

CUT = NOW - 3 * HOUR


def spike(**more: object) -> SpikeRecord:
    return SpikeRecord("C-1", 1, "wheat", "A", "B", **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("record", "step"),
    [
        (spike(verdict=Verdict.REVIEW, checked_at=CUT, emasculated_at=CUT), BenchStep.GO_BACK),
        (spike(verdict=Verdict.REVIEW, checked_at=CUT, bagged_at=CUT - HOUR), BenchStep.GO_BACK),
        (spike(verdict=Verdict.PASS, checked_at=CUT), BenchStep.EMASCULATION),
        (spike(verdict=Verdict.PASS, checked_at=CUT, emasculated_at=CUT - HOUR), BenchStep.BAG),
        (
            spike(verdict=Verdict.PASS, checked_at=CUT, emasculated_at=CUT - 2 * HOUR,
                  bagged_at=CUT - HOUR),
            BenchStep.BAG,
        ),
        (
            spike(verdict=Verdict.PASS, checked_at=CUT, emasculated_at=CUT - HOUR,
                  bagged_at=CUT + HOUR),
            BenchStep.NEXT_SPIKE,
        ),
        (
            spike(verdict=Verdict.PASS, checked_at=CUT, emasculated_at=CUT - HOUR,
                  bagged_at=CUT - HOUR, pollinated_at=CUT),
            BenchStep.NEXT_SPIKE,
        ),
    ],
)  # fmt: skip
def test_what_comes_next(record, step):
    assert bench_step(record) is step


def test_a_pass_of_long_ago_is_checked_again_before_the_bag(store):
    """Without temperatures 20 degree-days are over after 20 / 23 of an assumed warm day."""
    did(store, 1, Emasculated(20, 60), at=CUT)
    earlier = checked(store, 1, NOW - 2 * HOUR, verdict=Verdict.REVIEW)
    check = checked(store, 1, NOW - HOUR)
    assert after_check(store, check, now=NOW) == AfterCheck(BenchStep.BAG, "")
    over = NOW - HOUR + 20 / 23 * timedelta(days=1)
    after = after_check(store, check, now=over + HOUR)
    assert after.step is BenchStep.CHECK_AGAIN
    assert after.held_until.startswith("about ")
    assert after_check(store, earlier, now=over + HOUR) == AfterCheck(BenchStep.CHECK_AGAIN, "")
    did(store, 1, Bagged(), at=NOW)
    assert after_check(store, check, now=over + HOUR) == AfterCheck(BenchStep.NEXT_SPIKE, "")


def just_checked(store, verdict=Verdict.PASS):
    did(store, 1, Emasculated(20, 60), at=CUT)
    check = checked(store, 1, NOW - HOUR, verdict=verdict)
    return replace(check, at=NOW - HOUR)  # as if it had been recorded then


def test_a_bag_is_recorded_once_it_can_be_on(store):
    check = just_checked(store)
    recorded = record_bag(store, check, by="Bo", now=NOW)
    assert recorded.record.bagged_at is not None
    assert bench_step(recorded.record) is BenchStep.NEXT_SPIKE


def test_the_second_of_two_taps_bags_nothing(store):
    check = just_checked(store)
    least = timedelta(seconds=load_bench().bag_after_s)
    tenth = timedelta(seconds=0.1)
    with pytest.raises(StepError, match=r"right after the one before.*Put the bag on, then tap"):
        record_bag(store, check, by="Bo", now=check.at + least - tenth)
    assert store.spikes.one("C-1", 1).bagged_at is None
    bagged = record_bag(store, check, by="Bo", now=check.at + least + tenth)
    assert bagged.record.bagged_at is not None


def test_no_bag_on_a_review(store):
    check = just_checked(store, Verdict.REVIEW)
    with pytest.raises(StepError, match="stands at review"):
        record_bag(store, check, by="Bo", now=NOW)


def test_the_next_number_follows_the_highest_that_was_checked(store):
    assert next_number(store, "C-1") == 1
    did(store, 9, Emasculated(20, 60), at=CUT)
    assert next_number(store, "C-1") == 1
    did(store, 3, Emasculated(20, 60), at=CUT)
    checked(store, 3, CUT, verdict=Verdict.REVIEW)
    assert next_number(store, "C-1") == 4
