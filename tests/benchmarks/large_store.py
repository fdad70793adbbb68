"""Writes an invented store of many seasons, quickly: rows in bulk, the chain whole."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import insert

from spikecheck.history.replay import replay
from spikecheck.history.step_json import step_data
from spikecheck.store.chain_writer import ChainWriter
from spikecheck.store.season_tables import spike_states, tags
from spikecheck.store.spike_states import state_values
from spikecheck.store.tables import check_photos, checks, spikes
from spikecheck.vocabulary import CrossingSession, SpikeRecord, Step, Verdict
from spikecheck.vocabulary.plan import PlannedCross, PlannedParent
from spikecheck.vocabulary.steps import (
    Bagged,
    Checked,
    Emasculated,
    Harvested,
    Pollinated,
    Rebagged,
    SeedTested,
    Selected,
    Tagged,
    Threshed,
    kind_of,
)
from spikecheck.vocabulary.temperatures import DailyReading

if TYPE_CHECKING:
    from collections.abc import Iterator

    from spikecheck.store import Store

SPIKES_A_CROSS = 10
SPIKES_A_SESSION = 200
STEPS = 10
_AT_ONCE = 1000
_PLACE = "House 2"


@dataclass(frozen=True, slots=True)
class LargeStore:
    """What was written.

    Parameters
    ----------
    spikes, entries, open_spikes
        How many; open ones still wait for something.
    session
        Id of a session in the middle.
    cross
        Id of a cross in the middle.
    now
        The moment to ask at.
    """

    spikes: int
    entries: int
    open_spikes: int
    session: str
    cross: str
    now: datetime


def fill(store: Store, *, count: int, open_spikes: int) -> LargeStore:
    """Fill an empty store with ``count`` spikes, the last ``open_spikes`` of them on their way."""
    now = datetime.now(UTC)
    crosses = count // SPIKES_A_CROSS
    parents = [PlannedParent(f"Line {number}") for number in range(200)]
    store.plans.take_in(
        (f"row {n}", PlannedCross(_cross(n), parents[n % 199], parents[n % 199 + 1]))
        for n in range(crosses)
    )
    for number in range(-(-count // SPIKES_A_SESSION)):
        day = now.date() - timedelta(days=2 + (count // SPIKES_A_SESSION - number) // 8)
        store.sessions.add(CrossingSession(_session(number), day, _PLACE, ("Ida", "Bo")))
    first = now.date() - timedelta(days=120)
    store.temperatures.add(
        _PLACE,
        tuple(
            DailyReading(first + timedelta(days=n), 9.0 + n % 5, 21.0 + n % 7) for n in range(120)
        ),
        zone="UTC",
        by="Ida",
    )
    entries = _write_spikes(store, count, open_spikes, now)
    middle = count // 2
    return LargeStore(
        count, entries, open_spikes, _session(middle // SPIKES_A_SESSION),
        _cross(middle // SPIKES_A_CROSS), now,
    )  # fmt: skip


def _write_spikes(store: Store, count: int, open_spikes: int, now: datetime) -> int:
    written = 0
    with store._database.writing() as connection, ChainWriter(connection) as chain:
        for begin in range(0, count, _AT_ONCE):
            batch = range(begin, min(begin + _AT_ONCE, count))
            rows = [
                {"id": n + 1, "cross_id": _cross(n // SPIKES_A_CROSS), "number": _number(n)}
                for n in batch
            ]
            connection.execute(insert(spikes), rows)
            codes, states = [], []
            for n in batch:
                # Of those on their way, each of the first seven steps is the last of some.
                done = STEPS if n < count - open_spikes else 1 + n % 7
                way = [*_way(n, now)][:done]
                start = SpikeRecord(
                    _cross(n // SPIKES_A_CROSS), _number(n), "wheat", "Line 1", "Line 2"
                )
                record = replay(start, way, places={})
                for step in way:
                    body = {
                        "cross": start.cross, "spike": start.spike, "step": step_data(step),
                        "corrects": None, "reason": "",
                    }  # fmt: skip
                    chain.add(kind_of(step.detail), body, by=step.by, spike_id=n + 1)
                    written += 1
                states.append({"spike_id": n + 1, **state_values(record)})
                codes.append({"code": f"T{n:07d}", "spike_id": n + 1})
            connection.execute(insert(spike_states), states)
            connection.execute(insert(tags), codes)
            connection.execute(insert(checks), [_check_row(n, now) for n in batch])
            connection.execute(
                insert(check_photos),
                [
                    {
                        "check_id": n + 1, "position": 0, "file_name": "face.jpg",
                        "sha256": "b" * 64, "overlay_sha256": "c" * 64,
                    }
                    for n in batch
                ],
            )  # fmt: skip
    return written


def _check_row(n: int, now: datetime) -> dict[str, object]:
    return {
        "id": n + 1, "spike_id": n + 1, "checked_by": "Ida", "checked_at": now, "verdict": "pass",
        "result": "{}", "model_name": "invented", "model_version": "1", "model_sha256": "a" * 64,
        "thresholds_sha256": "a" * 64, "software_version": "0",
    }  # fmt: skip


def _way(n: int, now: datetime) -> Iterator[Step]:
    start = now - timedelta(days=60, hours=n % 24)
    if n % 3:
        start = now - timedelta(days=2 + n % 9, hours=n % 24)
    session = _session(n // SPIKES_A_SESSION)
    check = Checked(n + 1, Verdict.PASS, False, "a" * 64, ("b" * 64,), ("c" * 64,))
    details = (
        Selected(55), Tagged(f"T{n:07d}"), Emasculated(20, 60, "clip"), check, Bagged(),
        Pollinated("Line 2"), Rebagged(), Harvested(), Threshed(1 + n % 20, 20), SeedTested(1, 0),
    )  # fmt: skip
    for number, detail in enumerate(details):
        yield Step(detail, start + timedelta(minutes=number), "Ida", session, "")


def _cross(number: int) -> str:
    return f"C-{number:05d}"


def _session(number: int) -> str:
    return f"S-{number:04d}"


def _number(n: int) -> int:
    return n % SPIKES_A_CROSS + 1
