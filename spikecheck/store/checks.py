"""Checks, their photos and their overrides in the database."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from typing import TYPE_CHECKING

from sqlalchemy import insert, select

from spikecheck.errors import StoreError
from spikecheck.history.chain import spelled
from spikecheck.language import _
from spikecheck.store.parts import in_parts
from spikecheck.store.records import Override, RecordedCheck, RecordedPhoto
from spikecheck.store.tables import check_photos, checks, fits_integer, overrides, spikes
from spikecheck.vocabulary.findings import ModelIdentity
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import datetime

    from sqlalchemy import ColumnElement, Connection

    from spikecheck.store.records import NewCheck


_AT_ONCE = 500


def insert_check(
    connection: Connection,
    check: NewCheck,
    *,
    spike_id: int,
    by: str,
    at: datetime,
    photos: Sequence[RecordedPhoto],
) -> int:
    """Add ``check`` with its photos to the spike in row ``spike_id``; return the check's id."""
    row = connection.execute(
        insert(checks)
        .values(
            spike_id=spike_id,
            checked_by=by,
            checked_at=at,
            verdict=check.verdict.value,
            result=check.result,
            model_name=check.model.name,
            model_version=check.model.version,
            model_sha256=check.model.sha256,
            thresholds_sha256=check.thresholds_sha256,
            software_version=check.software_version,
        )
        .returning(checks.c.id)
    ).one()
    connection.execute(
        insert(check_photos),
        [
            {
                "check_id": row.id,
                "position": position,
                "file_name": photo.file_name,
                "sha256": photo.sha256,
                "overlay_sha256": photo.overlay_sha256,
            }
            for position, photo in enumerate(photos)
        ],
    )
    return int(row.id)


def insert_override(connection: Connection, check_id: int, override: Override) -> None:
    """Add ``override`` to the history of the check."""
    connection.execute(
        insert(overrides).values(
            check_id=check_id,
            overridden_by=override.by,
            overridden_at=override.at,
            verdict=override.verdict.value,
            reason=override.reason,
        )
    )


def filed_digest(
    model: ModelIdentity, *, thresholds_sha256: str, software_version: str, files: Iterable[str]
) -> str:
    """Return the hex SHA-256 of what is filed with a check and stands in no other hash.

    Parameters
    ----------
    model
        What looked at the photos.
    thresholds_sha256
        Hex digest of the thresholds in force.
    software_version
        Version of spikecheck.
    files
        Names of the photo files, in order.
    """
    text = spelled(
        {
            "model": {"name": model.name, "version": model.version, "sha256": model.sha256},
            "thresholds_sha256": thresholds_sha256,
            "software_version": software_version,
            "files": list(files),
        }
    )
    return hashlib.sha256(text.encode()).hexdigest()


def select_check(connection: Connection, check_id: int) -> RecordedCheck:
    """Return one check.

    Raises
    ------
    StoreError
        If there is none of this number.
    """
    found = _select(connection, checks.c.id == check_id) if fits_integer(check_id) else ()
    if not found:
        raise StoreError(
            _("no check {check_id} is recorded").format(check_id=check_id),
            cure=_("Look its number up at its cross"),
        )
    return found[0]


def select_results(connection: Connection, numbers: Sequence[int]) -> Iterator[str]:
    """Yield the result of each check of these numbers that is there, as JSON text."""
    for some in in_parts(numbers, _AT_ONCE):
        query = select(checks.c.result).where(checks.c.id.in_(some)).order_by(checks.c.id)
        yield from connection.execute(query).scalars()


def select_photos(
    connection: Connection, numbers: Sequence[int]
) -> dict[int, tuple[RecordedPhoto, ...]]:
    """Return the photos of checks, in order, by the number of the check."""
    found: dict[int, tuple[RecordedPhoto, ...]] = {}
    for some in in_parts(numbers, _AT_ONCE):
        found |= _photos(connection, check_photos.c.check_id.in_(some))
    return found


def select_overrides(
    connection: Connection, numbers: Sequence[int]
) -> dict[int, tuple[Override, ...]]:
    """Return the overrides of checks, oldest first, by the number of the check."""
    found: dict[int, tuple[Override, ...]] = {}
    for some in in_parts(numbers, _AT_ONCE):
        found |= _overrides(connection, overrides.c.check_id.in_(some))
    return found


def select_checks(
    connection: Connection, cross_id: str, spike: int | None = None
) -> tuple[RecordedCheck, ...]:
    """Return every check of a cross, or of one of its spikes, newest first."""
    condition = spikes.c.cross_id == cross_id
    if spike is not None:
        condition &= spikes.c.number == spike
    return _select(connection, condition)


def select_spikes_of_photos(
    connection: Connection, photos: Sequence[str]
) -> tuple[tuple[str, int], ...]:
    """Return cross and number of the spikes beside which a check of these photos is filed."""
    rows = connection.execute(
        select(spikes.c.cross_id, spikes.c.number)
        .distinct()
        .join_from(check_photos, checks)
        .join(spikes)
        .where(check_photos.c.sha256.in_(photos))
        .order_by(spikes.c.cross_id, spikes.c.number)
    )
    return tuple((row.cross_id, row.number) for row in rows)


def _select(connection: Connection, condition: ColumnElement[bool]) -> tuple[RecordedCheck, ...]:
    which = select(checks.c.id).join_from(checks, spikes).where(condition)
    photos = _photos(connection, check_photos.c.check_id.in_(which))
    history = _overrides(connection, overrides.c.check_id.in_(which))
    rows = connection.execute(
        select(checks, spikes.c.cross_id, spikes.c.number)
        .join_from(checks, spikes)
        .where(condition)
        .order_by(checks.c.id.desc())
    )
    return tuple(
        RecordedCheck(
            id=row.id,
            cross=row.cross_id,
            spike=row.number,
            by=row.checked_by,
            at=row.checked_at,
            verdict=Verdict(row.verdict),
            result=row.result,
            model=ModelIdentity(row.model_name, row.model_version, row.model_sha256),
            thresholds_sha256=row.thresholds_sha256,
            software_version=row.software_version,
            photos=photos.get(row.id, ()),
            overrides=history.get(row.id, ()),
        )
        for row in rows
    )


def _photos(
    connection: Connection, condition: ColumnElement[bool]
) -> dict[int, tuple[RecordedPhoto, ...]]:
    rows = connection.execute(
        select(check_photos).where(condition).order_by(check_photos.c.position)
    )
    found: dict[int, list[RecordedPhoto]] = defaultdict(list)
    for row in rows:
        found[row.check_id].append(RecordedPhoto(row.file_name, row.sha256, row.overlay_sha256))
    return {number: tuple(photos) for number, photos in found.items()}


def _overrides(
    connection: Connection, condition: ColumnElement[bool]
) -> dict[int, tuple[Override, ...]]:
    rows = connection.execute(select(overrides).where(condition).order_by(overrides.c.id))
    found: dict[int, list[Override]] = defaultdict(list)
    for row in rows:
        override = Override(row.overridden_by, Verdict(row.verdict), row.reason, row.overridden_at)
        found[row.check_id].append(override)
    return {number: tuple(history) for number, history in found.items()}
