"""Several programs write in the histories of spikes at once: each tag, each correction once."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from spikecheck.store import open_store
from spikecheck.vocabulary import Step, StepKind
from spikecheck.vocabulary.steps import Emasculated
from tests.plans import planned
from tests.store.together import run_together

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any

_PROGRAM = Path(__file__).with_name("spike_recorder_process.py")
_ROUNDS = 8
AGO = datetime.now(UTC) - timedelta(days=2)


def told_by(location: str, task: str, names: Sequence[str], *words: object) -> dict[str, Any]:
    """Let one program a name do the task at the same moment; return what each told."""
    return run_together(_PROGRAM, names, lambda name: (location, task, name, *words))


@pytest.fixture
def with_a_cross(location: str) -> str:
    with open_store(location) as store:
        store.plans.add(planned("C-1", "Ferra", "Olmo"))
    return location


def test_of_two_that_claim_a_tag_exactly_one_gets_it(with_a_cross: str):
    names = ("Ida", "Bo")
    told = told_by(with_a_cross, "claim", names, _ROUNDS)
    with open_store(with_a_cross) as store:
        for place in range(_ROUNDS):
            winners = [name for name in names if told[name][place]["error"] is None]
            (winner,) = winners
            (loser,) = set(names) - {winner}
            assert told[loser][place]["error"] == "TagError"
            won, lost = told[winner][place], told[loser][place]
            assert won["code"] == lost["code"]
            assert won["spike"] != lost["spike"]
            assert store.spikes.of_tag(won["code"]) == ("C-1", won["spike"])
            assert store.spikes.one("C-1", won["spike"]).tag == won["code"]
            assert store.spikes.entries("C-1", lost["spike"]) == ()
        found = store.verify()
    assert found.faults == ()
    assert found.spikes == _ROUNDS, "nothing is left of those that were refused"


def test_of_two_that_correct_an_entry_exactly_one_wins(with_a_cross: str):
    with open_store(with_a_cross) as store:
        for spike in range(1, _ROUNDS + 1):
            store.spikes.add("C-1", spike, Step(Emasculated(20, 60), AGO, "Ann"))
        numbers = [store.spikes.entries("C-1", spike)[0].number for spike in range(1, _ROUNDS + 1)]
    told = told_by(with_a_cross, "correct", ("Ida", "Bo"), *numbers)
    florets = {"Ida": 18, "Bo": 19}
    with open_store(with_a_cross) as store:
        for place, number in enumerate(numbers):
            (winner,) = [name for name in florets if told[name][place] is None]
            (loser,) = set(florets) - {winner}
            first, second = store.spikes.entries("C-1", place + 1)
            assert (second.corrects, second.recorded_by) == (number, winner)
            assert told[loser][place] == [
                "StepError", f"entry {number} was corrected by entry {second.number} already",
            ]  # fmt: skip
            assert first.step is not None, "the entry stays readable"
            assert store.spikes.one("C-1", place + 1).florets == florets[winner]
        assert store.verify().faults == ()


def test_many_that_add_steps_at_once_lose_nothing(with_a_cross: str):
    names = ("Ida", "Bo", "Ann", "Tom")
    told = told_by(with_a_cross, "add", names, _ROUNDS)
    with open_store(with_a_cross) as store:
        every = list(store.spikes.every_entry())
        found = store.verify()
        standing = {one.spike: one for one in store.spikes.all()}
    assert found.faults == ()
    assert found.head_found is None
    expected = {
        (spike, kind, name)
        for name in names
        for spike in told[name]
        for kind in (StepKind.SELECTED, StepKind.EMASCULATED, StepKind.BAGGED)
    }
    assert len(expected) == len(names) * _ROUNDS * 3
    assert {(spike, entry.kind, entry.recorded_by) for _, spike, entry in every} == expected
    assert len(every) == len(expected)
    for name in names:
        assert all(standing[spike].emasculated_by == name for spike in told[name])
        assert all(standing[spike].bagged_at is not None for spike in told[name])
