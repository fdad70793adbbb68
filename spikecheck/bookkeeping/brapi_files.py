"""A store's crosses as BrAPI v2.1 files, and such files taken in."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from spikecheck.bookkeeping.received_steps import steps_received
from spikecheck.errors import ExchangeError, OutputError, SpikecheckError, StoreError
from spikecheck.exchange import CheckedSpike, brapi_texts, exchange_set, from_brapi
from spikecheck.vocabulary.floret import FloretStatus
from spikecheck.vocabulary.plan import PlannedCross, PlannedParent
from spikecheck.vocabulary.text import tidy_name

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from spikecheck.exchange import ExchangedCross, Received
    from spikecheck.store import Store
    from spikecheck.vocabulary.parent import Parent
    from spikecheck.vocabulary.spike_record import SpikeRecord

ENDPOINTS = ("crossingprojects", "plannedcrosses", "crosses")


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What came of files that were read.

    Parameters
    ----------
    crosses, spikes
        How many were recorded.
    known
        How many crosses and spikes were there already and stay as they are.
    checks, photos
        How many checks the spikes recorded were told to have, and photos of these: they are left
        out.
    sessions
        How many of the spikes recorded name a session, which stands in their notes.
    remarks
        What else was left out and why, a line each.
    """

    crosses: int
    spikes: int
    known: int
    checks: int
    photos: int
    sessions: int
    remarks: tuple[str, ...]


def write_brapi(store: Store, folder: Path) -> dict[str, int]:
    """Write one JSON file an endpoint into a folder; return how many entities each holds.

    Raises
    ------
    OutputError
        If one is there already, or cannot be written.
    """
    spikes = [_checked(store, one) for one in store.spikes.all() if one.emasculated_at is not None]
    crosses = [summary.cross for summary in store.crosses()]
    texts = brapi_texts(exchange_set(crosses, store.plans.parents(), spikes))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for endpoint in texts:
            if (folder / f"{endpoint}.json").exists():
                raise OutputError(
                    "is there already", where=str(folder / f"{endpoint}.json"),
                    cure="Name another folder",
                )  # fmt: skip
        for endpoint, text in texts.items():
            (folder / f"{endpoint}.json").write_text(text, encoding="utf-8")
    except OSError as error:
        raise OutputError(
            f"cannot be written ({error.strerror})", where=str(folder), cure="Name another folder"
        ) from error
    return {name: len(json.loads(text)["result"]["data"]) for name, text in texts.items()}


def read_brapi(store: Store, folder: Path, *, by: str) -> TakenIn:
    """Take crosses, parents and what happened to spikes in from a folder of such files.

    What is recorded here already stays as it is. Checks are not taken in, since their photos are
    not in the files: a bag put on after one tells so in its reason.

    Parameters
    ----------
    store
        Where to.
    folder
        With one file or more, named after the endpoints.
    by
        Who takes them in.

    Raises
    ------
    ExchangeError
        If there is no such file, or one does not follow the standard; nothing is recorded.
    StoreError
        If something cannot be recorded.
    UsageError
        If the name of who takes them in cannot be kept.
    """
    by = tidy_name(by, what="the name of who takes them in")
    received = from_brapi(_texts(folder), received_at=datetime.now(UTC))
    known_crosses = {summary.cross.id for summary in store.crosses()}
    new = [one for one in received.exchanged.planned if one.cross.id not in known_crosses]
    count, faults = store.plans.take_in(((one.cross.id, _planned(one)) for one in new), by=by)
    if faults:
        raise faults[0]
    taken, known, remarks = _take_spikes(store, received, by)
    return TakenIn(
        crosses=count,
        spikes=len(taken),
        known=known + len(received.exchanged.planned) - len(new),
        checks=sum(one.record.verdict is not None for one in taken),
        photos=sum(len(one.photos) for one in taken),
        sessions=sum(bool(one.record.session) for one in taken),
        remarks=(*_left_out(received), *remarks),
    )


def _take_spikes(
    store: Store, received: Received, by: str
) -> tuple[list[CheckedSpike], int, list[str]]:
    taken: list[CheckedSpike] = []
    known = 0
    remarks = []
    for one in received.exchanged.spikes:
        record = one.record
        try:
            if store.spikes.entries(record.cross, record.spike):
                known += 1
                continue
            steps = steps_received(record)
            store.spikes.add_all([(record.cross, record.spike, step) for step in steps], by=by)
            taken.append(one)
        except SpikecheckError as error:
            remarks.append(f"spike {record.cross}/{record.spike} is left out: {error}")
    return taken, known, remarks


def _checked(store: Store, record: SpikeRecord) -> CheckedSpike:
    if record.check is None:
        return CheckedSpike(record)
    try:
        check = store.check(record.check)
    except StoreError:
        return CheckedSpike(record)
    result = json.loads(check.result)
    told = (floret for photo in result.get("photos", ()) for floret in photo["florets"])
    # Florets told as holding one: marks below the pass limit are listed too and are no finding.
    leftovers = sum(floret["status"] == FloretStatus.ANTHER for floret in told)
    return CheckedSpike(record, tuple(photo.sha256 for photo in check.photos), leftovers)


def _planned(one: ExchangedCross) -> PlannedCross:
    cross = one.cross
    return PlannedCross(
        cross.id, _parent(cross.female, one.female), _parent(cross.male, one.male),
        purpose=cross.purpose, seeds_wanted=cross.seeds_wanted, crop=cross.crop,
        project=cross.project, note=cross.note,
    )  # fmt: skip


def _parent(name: str, known: Parent | None) -> PlannedParent:
    if known is None:
        return PlannedParent(name)
    return PlannedParent(name, known.accession, known.pedigree, known.place)


def _texts(folder: Path) -> dict[str, bytes]:
    texts = {}
    for endpoint in ENDPOINTS:
        path = folder / f"{endpoint}.json"
        try:
            texts[endpoint] = path.read_bytes()
        except FileNotFoundError:
            continue
        except OSError as error:
            raise ExchangeError(
                f"cannot be read ({error.strerror})", where=str(path), cure="Mend the path"
            ) from error
    if not texts:
        raise ExchangeError(
            "holds none of the files", where=str(folder),
            cure=f"Name the folder with {', '.join(f'{name}.json' for name in ENDPOINTS)}",
        )  # fmt: skip
    return texts


def _left_out(received: Received) -> Iterator[str]:
    for name, count in received.ignored:
        yield f"the field {name} is not known here and was left out {count} times"
    yield from received.left_out
