"""Everything a store holds as CSV tables."""

from __future__ import annotations

import dataclasses
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

from spikecheck.bookkeeping.entry_text import entry_words
from spikecheck.errors import OutputError
from spikecheck.exchange import PLAN_COLUMNS, TABLE_ENCODING, write_table
from spikecheck.vocabulary.spike_audit import SpikeAudit
from spikecheck.vocabulary.spike_record import SpikeRecord
from spikecheck.vocabulary.temperatures import Constant, DailyReading

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from spikecheck.exchange.cells import Cell
    from spikecheck.store import Store

_AUDIT = "audit"
_SPIKE_COLUMNS = tuple(
    field.name for field in dataclasses.fields(SpikeRecord) if field.name != _AUDIT
)
_AUDIT_COLUMNS = tuple(field.name for field in dataclasses.fields(SpikeAudit))


def export_tables(
    store: Store, folder: Path, *, on_progress: Callable[[int, int], None] | None = None
) -> dict[str, int]:
    """Write every table of a store into a new folder, or nothing.

    Text that a spreadsheet would take for a formula gets an apostrophe before it. ``plan.csv`` has
    the columns that a plan is taken in with.

    Parameters
    ----------
    store
        What to write.
    folder
        Not there yet, or empty.
    on_progress
        Called after each table with how many are written and of how many.

    Returns
    -------
    dict
        Rows by the name of the file.

    Raises
    ------
    OutputError
        If the folder is not empty or cannot be written.
    """
    try:
        if folder.exists() and any(folder.iterdir()):
            raise OutputError("the folder is not empty", where=str(folder), cure="Name a new one")
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".export-") as name:
            made = Path(name) / "tables"
            made.mkdir()
            rows = {}
            for done, (table, columns, read) in enumerate(_TABLES, start=1):
                with (made / table).open("w", encoding=TABLE_ENCODING, newline="") as file:
                    rows[table] = write_table(file, columns, read(store))
                if on_progress is not None:
                    on_progress(done, len(_TABLES))
            made.replace(folder)
    except OSError as error:
        raise OutputError(
            f"cannot be written ({error.strerror})", where=str(folder), cure="Name another folder"
        ) from error
    return rows


def _plan(store: Store) -> Iterator[Sequence[Cell]]:
    parents = {parent.name: parent for parent in store.plans.parents()}
    for summary in store.crosses():
        cross = summary.cross
        cells: dict[str, Cell] = {
            "cross": cross.id, "female": cross.female, "male": cross.male, "crop": cross.crop,
            "purpose": cross.purpose, "seeds_wanted": cross.seeds_wanted,
            "project": cross.project, "note": cross.note,
        }  # fmt: skip
        for side, name in (("female", cross.female), ("male", cross.male)):
            parent = parents.get(name)
            for detail in ("accession", "pedigree", "place"):
                cells[f"{side}_{detail}"] = getattr(parent, detail, "")
        yield [cells[column.name] for column in PLAN_COLUMNS]


def _parents(store: Store) -> Iterator[Sequence[Cell]]:
    for parent in store.plans.parents():
        yield parent.name, parent.accession, parent.pedigree, parent.place


def _sessions(store: Store) -> Iterator[Sequence[Cell]]:
    for one in store.sessions.all():
        yield one.id, one.day.isoformat(), one.place, "; ".join(one.people), one.note


def _spikes(store: Store) -> Iterator[Sequence[Cell]]:
    for record in store.spikes.all():
        own = [_cell(getattr(record, name)) for name in _SPIKE_COLUMNS]
        yield own + [_cell(getattr(record.audit, name, None)) for name in _AUDIT_COLUMNS]


def _history(store: Store) -> Iterator[Sequence[Cell]]:
    for cross, spike, entry in store.spikes.every_entry():
        step = entry.step
        yield (
            entry.number, cross, spike, entry.kind.value, entry_words(entry),
            "" if step is None else step.at.isoformat(), "" if step is None else step.by,
            "" if step is None else step.session, "" if step is None else step.note,
            entry.corrects, entry.reason, entry.recorded_at.isoformat(), entry.recorded_by,
        )  # fmt: skip


def _checks(store: Store) -> Iterator[Sequence[Cell]]:
    for summary in store.crosses():
        for check in reversed(store.checks(summary.cross.id) if summary.spikes else ()):
            yield (
                check.id, check.cross, check.spike, check.at.isoformat(), check.by,
                check.verdict.value, check.standing_verdict.value,
                "; ".join(f"{one.by}: {one.reason}" for one in check.overrides),
                check.model.name, check.model.version, check.software_version,
                " ".join(photo.sha256 for photo in check.photos),
            )  # fmt: skip


def _temperatures(store: Store) -> Iterator[Sequence[Cell]]:
    places = dict.fromkeys(source.place for source in store.temperatures.sources())
    for place in places:
        for recorded in store.temperatures.of_place(place):
            known = recorded.temperatures
            at = recorded.recorded_at.isoformat()
            if isinstance(known, Constant):
                until = known.end.isoformat()
                yield place, known.start.isoformat(), until, known.air_c, known.air_c, at
                continue
            for one in known:
                if isinstance(one, DailyReading):
                    yield place, one.day.isoformat(), "", one.min_c, one.max_c, at
                else:
                    yield place, one.moment.isoformat(), "", one.air_c, one.air_c, at


def _numbers(store: Store) -> Iterator[Sequence[Cell]]:
    for one in store.numbers.all():
        yield one.crop, one.name, one.value, one.reason, one.by, one.at.isoformat()


def _cell(value: Any) -> Cell:  # noqa: ANN401  (a field of a record)
    if isinstance(value, tuple):  # the thirds of a spike
        return "; ".join(f"{third.seeds} of {third.florets}" for third in value)
    cell: Cell = value
    return cell


_TABLES: tuple[tuple[str, Sequence[str], Callable[[Store], Iterator[Sequence[Cell]]]], ...] = (
    ("plan.csv", tuple(column.name for column in PLAN_COLUMNS), _plan),
    ("parents.csv", ("parent", "accession", "pedigree", "place"), _parents),
    ("sessions.csv", ("session", "day", "place", "people", "note"), _sessions),
    (
        "spikes.csv",
        (*_SPIKE_COLUMNS, *(f"{_AUDIT}_{name}" for name in _AUDIT_COLUMNS)),
        _spikes,
    ),
    (
        "history.csv",
        (
            "entry", "cross", "spike", "step", "said", "at", "by", "session", "note", "corrects",
            "reason", "recorded_at", "recorded_by",
        ),
        _history,
    ),
    (
        "checks.csv",
        (
            "check", "cross", "spike", "recorded_at", "by", "computed_verdict", "standing_verdict",
            "overrides", "model", "model_version", "software_version", "photo_sha256",
        ),
        _checks,
    ),
    (
        "temperatures.csv", ("place", "from", "until", "min_c", "max_c", "recorded_at"),
        _temperatures,
    ),
    ("numbers.csv", ("crop", "number", "value", "reason", "by", "at"), _numbers),
)  # fmt: skip
