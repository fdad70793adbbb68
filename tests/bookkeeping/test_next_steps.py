"""Which steps are offered for recording."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from spikecheck.bookkeeping.next_steps import coming_step, steps_to_offer
from spikecheck.season.agenda import TaskKind, agenda
from spikecheck.vocabulary import StepKind, Verdict
from spikecheck.vocabulary.steps import AUDIT_KINDS
from tests.season.spikes import DAY, FIRST, HOUR, NUMBERS, spike

PASSED = {"checked_at": FIRST + 13 * HOUR, "verdict": Verdict.PASS}
BAGGED = PASSED | {"bagged_at": FIRST + 14 * HOUR}
POLLINATED = BAGGED | {"pollinated_at": FIRST + 4 * DAY}
HARVESTED = POLLINATED | {"rebagged_at": FIRST + 4 * DAY, "harvested_at": FIRST + 40 * DAY}


@pytest.mark.parametrize(
    ("what", "coming"),
    [
        ({"emasculated_at": None}, StepKind.EMASCULATED),
        ({}, StepKind.CHECKED),
        (PASSED | {"verdict": Verdict.REVIEW}, StepKind.CHECKED),
        (PASSED, StepKind.BAGGED),
        (BAGGED, StepKind.POLLINATED),
        (BAGGED | {"control": True}, StepKind.HARVESTED),
        (POLLINATED, StepKind.REBAGGED),
        (POLLINATED | {"rebagged_at": FIRST + 4 * DAY}, StepKind.HARVESTED),
        (HARVESTED, StepKind.THRESHED),
        (HARVESTED | {"threshed_at": FIRST + 41 * DAY, "seeds": 9}, StepKind.SEED_TESTED),
        (HARVESTED | {"threshed_at": FIRST + 41 * DAY, "seeds": 9, "tested": 9}, None),
        (HARVESTED | {"threshed_at": FIRST + 41 * DAY, "seeds": 0}, None),
        ({"given_up_at": FIRST + DAY}, None),
    ],
)
def test_the_coming_step_is_the_one_the_agenda_waits_for(what, coming):
    record = spike(**what)
    now = max(
        moment for moment in [FIRST + DAY / 2, *what.values()] if isinstance(moment, datetime)
    )
    tasks = agenda([record], now=now, courses={}, numbers={"wheat": NUMBERS}, zone=UTC)
    assert coming_step(record, tasks[0] if tasks else None) is coming


def test_a_check_that_holds_no_more_is_made_again():
    record = spike(**PASSED)
    (task,) = agenda(
        [record], now=FIRST + timedelta(days=30), courses={}, numbers={"wheat": NUMBERS}, zone=UTC
    )
    assert task.kind is TaskKind.CHECK_AGAIN
    assert coming_step(record, task) is StepKind.CHECKED


def test_every_step_by_hand_is_offered_once_the_coming_one_first():
    by_hand = set(StepKind) - {StepKind.CHECKED, StepKind.OVERRIDDEN} - AUDIT_KINDS
    for coming in [None, *StepKind]:
        offered = steps_to_offer(coming)
        assert len(offered) == len(by_hand)
        assert set(offered) == by_hand
        assert offered[0] is (coming if coming in by_hand else StepKind.SELECTED)
