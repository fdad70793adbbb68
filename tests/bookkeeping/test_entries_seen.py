"""Entries as someone saw them, in a store."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from spikecheck.bookkeeping.entries_seen import (
    by_time,
    entries_to_take_back,
    latest_of,
    refuse_recorded_since,
    replaced_entries,
)
from spikecheck.errors import StepError
from spikecheck.store import open_store
from spikecheck.vocabulary import Step, StepKind
from spikecheck.vocabulary.steps import Bagged, Emasculated, Selected
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from spikecheck.store import Store

AGO = datetime.now(UTC) - timedelta(days=2)
ZONE = ZoneInfo("Asia/Tokyo")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(str(tmp_path)) as opened:
        opened.plans.add(planned("C-1", "Ferra", "Olmo"))
        for hours, detail in enumerate([Selected(55), Emasculated(20, 60), Bagged("no camera")]):
            opened.spikes.add("C-1", 3, Step(detail, AGO + timedelta(hours=hours), "Ida"))
        yield opened


def test_what_was_taken_back_is_taken_back_once(store: Store):
    entries = store.spikes.entries("C-1", 3)
    assert replaced_entries(entries) == {}
    newest = entries_to_take_back(entries)[0]
    assert [one.kind for one in entries_to_take_back(entries)] == [
        StepKind.BAGGED, StepKind.EMASCULATED, StepKind.SELECTED,
    ]  # fmt: skip
    store.spikes.correct("C-1", 3, newest.number, None, by="Ida", reason="other spike")
    entries = store.spikes.entries("C-1", 3)
    told = f"taken back by entry {newest.number + 1}, holds no more"
    assert replaced_entries(entries) == {newest.number: told}
    assert [one.kind for one in entries_to_take_back(entries)] == [
        StepKind.EMASCULATED, StepKind.SELECTED,
    ]  # fmt: skip


def test_a_correction_stands_where_it_happened_and_marks_what_it_corrects(store: Store):
    first = store.spikes.entries("C-1", 3)[0]
    step = Step(Selected(57), AGO - timedelta(hours=1), "Ida")
    store.spikes.correct("C-1", 3, first.number, step, by="Bo", reason="misread")
    entries = store.spikes.entries("C-1", 3)
    assert replaced_entries(entries) == {
        first.number: f"corrected by entry {entries[-1].number}, holds no more"
    }
    assert by_time(entries) == (entries[-1], *entries[:-1])


def test_a_step_that_someone_recorded_meanwhile_is_not_recorded_again(store: Store):
    before = store.spikes.entries("C-1", 3)
    seen = latest_of(before, StepKind.BAGGED)
    assert latest_of(before, StepKind.POLLINATED) == 0
    refuse_recorded_since(before, StepKind.BAGGED, seen=seen, where="spike C-1/3", zone=ZONE)
    store.spikes.add("C-1", 3, Step(Bagged("torn"), datetime.now(UTC), "Bo"))
    after = store.spikes.entries("C-1", 3)
    moment = f"{after[-1].recorded_at.astimezone(ZONE):%Y-%m-%d %H:%M}"
    with pytest.raises(StepError, match=f"bagged was recorded by Bo on {moment}"):
        refuse_recorded_since(after, StepKind.BAGGED, seen=seen, where="spike C-1/3", zone=ZONE)
    refuse_recorded_since(after, StepKind.POLLINATED, seen=0, where="spike C-1/3", zone=ZONE)
