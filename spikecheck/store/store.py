"""The records as the rest of the program sees them."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Self

from spikecheck.errors import UsageError
from spikecheck.store.checks import insert_check, insert_override, select_check, select_checks
from spikecheck.store.crosses import insert_cross, select_cross, select_summaries
from spikecheck.store.engine import writing
from spikecheck.store.failures import told_plainly
from spikecheck.store.moments import now
from spikecheck.store.records import Override, RecordedPhoto
from spikecheck.store.tables import fits_integer
from spikecheck.vocabulary.cross import Cross
from spikecheck.vocabulary.text import tidy_file_name, tidy_id, tidy_name, tidy_note
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Iterator
    from types import TracebackType

    from sqlalchemy import Connection, Engine

    from spikecheck.store.photo_files import PhotoFiles
    from spikecheck.store.records import CrossSummary, NewCheck, RecordedCheck


class Store:
    """Crosses, checks and photos of one place; safe to share between threads.

    Made by :func:`~spikecheck.store.opening.open_store`. Every method raises
    :class:`~spikecheck.errors.StoreError` when the records cannot be read or written, and
    :class:`~spikecheck.errors.UsageError` for a name or id that cannot be kept.

    Parameters
    ----------
    engine
        Connection to a database at the newest revision.
    photos
        The photo folder.
    location
        The place as shown to people.
    """

    def __init__(self, engine: Engine, photos: PhotoFiles, *, location: str) -> None:
        self._engine = engine
        self._photos = photos
        self.location = location

    def add_cross(self, cross_id: str, female: str, male: str, note: str = "") -> Cross:
        """Record a new cross and return it.

        Parameters
        ----------
        cross_id
            Its id, at most 64 characters.
        female, male
            Names of the parents, at most 200 characters each.
        note
            Free text, may be empty.

        Raises
        ------
        DuplicateCrossError
            If the id is taken.
        """
        cross = Cross(
            id=tidy_id(cross_id, what="the id of the cross"),
            female=tidy_name(female, what="the female parent"),
            male=tidy_name(male, what="the male parent"),
            note=tidy_note(note, what="the note"),
            created_at=now(),
        )
        with self._writing() as connection:
            insert_cross(connection, cross)
        return cross

    def crosses(self) -> tuple[CrossSummary, ...]:
        """Return every cross with its counts, in the order of adding."""
        with self._reading() as connection:
            return select_summaries(connection)

    def cross(self, cross_id: str) -> Cross:
        """Return one cross.

        Raises
        ------
        UnknownCrossError
            If there is none; the message names ids that look like it.
        """
        tidied = tidy_id(cross_id, what="the id of the cross")
        with self._reading() as connection:
            return select_cross(connection, tidied)

    def checks(self, cross_id: str) -> tuple[RecordedCheck, ...]:
        """Return the checks of a cross with their overrides, newest first.

        Raises
        ------
        UnknownCrossError
            If there is no such cross.
        """
        tidied = tidy_id(cross_id, what="the id of the cross")
        with self._reading() as connection:
            select_cross(connection, tidied)
            return select_checks(connection, tidied)

    def check(self, check_id: int) -> RecordedCheck:
        """Return one check; StoreError when there is none of this number."""
        with self._reading() as connection:
            return select_check(connection, check_id)

    def add_check(self, check: NewCheck, *, cross: str, spike: int, by: str) -> RecordedCheck:
        """File a check beside its cross; when this returns, nothing of it can be lost any more.

        The photos are on disk before the one transaction that names them begins, so a recorded
        check always has its photos. A check that could not be recorded may leave photos that
        nothing names: they do no harm, and recording it again finds them.

        Parameters
        ----------
        check
            What to file.
        cross
            Id of a recorded cross.
        spike
            Number of the spike within the cross, from 1.
        by
            Who checked.

        Raises
        ------
        UnknownCrossError
            If there is no such cross; nothing is kept then.
        """
        tidied = tidy_id(cross, what="the id of the cross")
        name = tidy_name(by, what="the name of who checked")
        if not fits_integer(spike):
            raise UsageError(f"spikes are numbered from 1, got {spike}", cure="Give its number")
        if not check.photos:
            raise UsageError("a check needs a photo", cure="Give at least one")
        with self._reading() as connection:
            select_cross(connection, tidied)
        photos = [
            RecordedPhoto(
                tidy_file_name(photo.file_name),
                self._photos.keep(photo.content),
                self._photos.keep(photo.overlay),
            )
            for photo in check.photos
        ]
        with self._writing() as connection:
            check_id = insert_check(
                connection, check, cross=tidied, spike=spike, by=name, at=now(), photos=photos
            )
            return select_check(connection, check_id)

    def override(
        self, check_id: int, by: str, reason: str, verdict: Verdict = Verdict.PASS
    ) -> RecordedCheck:
        """Set a person's word against a verdict; the history of overrides only grows.

        Parameters
        ----------
        check_id
            Number of the check.
        by
            Who decides.
        reason
            Why; at most 4000 characters, never empty.
        verdict
            What holds from now on: pass (bag it all the same), or review to take that back.

        Returns
        -------
        RecordedCheck
            The check with the new override last.
        """
        override = Override(
            by=tidy_name(by, what="the name of who overrides"),
            verdict=Verdict(verdict),
            reason=tidy_note(reason, what="the reason of the override", required=True),
            at=now(),
        )
        with self._writing() as connection:
            select_check(connection, check_id)
            insert_override(connection, check_id, override)
            return select_check(connection, check_id)

    def photo(self, photo: RecordedPhoto) -> bytes:
        """Return the photo file's bytes, checked against their SHA-256."""
        return self._photos.read(photo.sha256)

    def overlay(self, photo: RecordedPhoto) -> bytes:
        """Return the overlay file's bytes, checked against their SHA-256."""
        return self._photos.read(photo.overlay_sha256)

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with told_plainly(self.location), self._engine.connect() as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        with told_plainly(self.location), writing(self._engine) as connection:
            yield connection
