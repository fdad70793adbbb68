"""The records as the rest of the program sees them."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, Self

from spikecheck.errors import UsageError
from spikecheck.history.replay import moment_of_override
from spikecheck.language import _
from spikecheck.store.backup.stages import silent
from spikecheck.store.chain_writer import ChainWriter, first_hash, last_hash
from spikecheck.store.checks import (
    filed_digest,
    insert_check,
    insert_override,
    select_check,
    select_checks,
    select_overrides,
    select_photos,
    select_results,
    select_spikes_of_photos,
)
from spikecheck.store.crosses import select_cross, select_summaries
from spikecheck.store.database import Database
from spikecheck.store.entry_rows import SpikeRow, append_step, select_entries
from spikecheck.store.number_changes import NumberChanges
from spikecheck.store.plans import Plans
from spikecheck.store.practice_records import PracticeRecords
from spikecheck.store.records import Override, RecordedPhoto
from spikecheck.store.sessions import Sessions
from spikecheck.store.spike_history import SpikeHistory, known_moment
from spikecheck.store.spike_rows import known_spike, make_spike, tag_fits
from spikecheck.store.tables import fits_integer
from spikecheck.store.temperatures import TemperatureRecords
from spikecheck.store.verification import verify
from spikecheck.vocabulary.entry import Step
from spikecheck.vocabulary.steps import Checked, Overridden, kind_of
from spikecheck.vocabulary.text import tidy_file_name, tidy_id, tidy_name, tidy_note
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from datetime import datetime
    from pathlib import Path
    from types import TracebackType

    from sqlalchemy import Engine

    from spikecheck.store.backup.manifest import Manifest
    from spikecheck.store.backup.stages import Progress
    from spikecheck.store.drafts import DraftFiles
    from spikecheck.store.photo_files import PhotoFiles
    from spikecheck.store.records import CrossSummary, NewCheck, RecordedCheck
    from spikecheck.store.verification import Verification
    from spikecheck.vocabulary.cross import Cross


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
    drafts
        Checks that are begun and not recorded yet.
    location
        The place as shown to people.
    """

    def __init__(
        self, engine: Engine, photos: PhotoFiles, drafts: DraftFiles, *, location: str
    ) -> None:
        self._database = Database(engine, location=location)
        self._photos = photos
        self.drafts = drafts
        self.location = location
        self.plans = Plans(self._database)
        self.sessions = Sessions(self._database)
        self.spikes = SpikeHistory(self._database)
        self.temperatures = TemperatureRecords(self._database)
        self.numbers = NumberChanges(self._database)
        self.practice = PracticeRecords(self._database)

    def crosses(self) -> tuple[CrossSummary, ...]:
        """Return every cross with its counts, in the order of adding."""
        with self._database.reading() as connection:
            return select_summaries(connection)

    def cross(self, cross_id: str) -> Cross:
        """Return one cross.

        Raises
        ------
        UnknownCrossError
            If there is none; the message names ids that look like it.
        """
        tidied = tidy_id(cross_id, what=_("the id of the cross"))
        with self._database.reading() as connection:
            return select_cross(connection, tidied)

    def checks(self, cross_id: str, spike: int | None = None) -> tuple[RecordedCheck, ...]:
        """Return the checks of a cross or of one of its spikes, with overrides, newest first.

        Raises
        ------
        UnknownCrossError
            If there is no such cross.
        """
        tidied = tidy_id(cross_id, what=_("the id of the cross"))
        with self._database.reading() as connection:
            select_cross(connection, tidied)
            return select_checks(connection, tidied, spike)

    def check(self, check_id: int) -> RecordedCheck:
        """Return one check; StoreError when there is none of this number."""
        with self._database.reading() as connection:
            return select_check(connection, check_id)

    def results(self, numbers: Sequence[int]) -> Iterator[str]:
        """Yield the results of checks as JSON text of the result contract, rising by number.

        Parameters
        ----------
        numbers
            Of the checks; those that are not there are passed over.
        """
        with self._database.reading() as connection:
            yield from select_results(connection, numbers)

    def photos_of(self, numbers: Sequence[int]) -> Mapping[int, tuple[RecordedPhoto, ...]]:
        """Return the photos of checks by the number of the check; unknown ones are passed over."""
        with self._database.reading() as connection:
            return select_photos(connection, numbers)

    def spikes_of_photos(self, photos: Sequence[str]) -> tuple[tuple[str, int], ...]:
        """Return cross and number of the spikes that have a check with one of these photos.

        Parameters
        ----------
        photos
            SHA-256 of a few photo files, hex digits.
        """
        with self._database.reading() as connection:
            return select_spikes_of_photos(connection, photos)

    def overrides_of(self, numbers: Sequence[int]) -> Mapping[int, tuple[Override, ...]]:
        """Return the overrides of checks, oldest first, by the number of the check."""
        with self._database.reading() as connection:
            return select_overrides(connection, numbers)

    def add_check(
        self, check: NewCheck, *, cross: str, spike: int, by: str, at: datetime | None = None
    ) -> RecordedCheck:
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
        at
            When the photos were taken, with time zone; None is now.

        Raises
        ------
        UnknownCrossError
            If there is no such cross; nothing is kept then.
        TagError
            If the photos show the tag of another spike, or one that no spike has; nothing is kept.
        StepError
            If the spike was harvested or given up, or the moment lies in the future.
        """
        tidied = tidy_id(cross, what=_("the id of the cross"))
        name = tidy_name(by, what=_("the name of who checked"))
        if not fits_integer(spike):
            raise UsageError(
                _("spikes are numbered from 1, got {spike}").format(spike=spike),
                cure=_("Give its number"),
            )
        if not check.photos:
            raise UsageError(_("a check needs a photo"), cure=_("Give at least one"))
        with self._database.reading() as connection:
            select_cross(connection, tidied)
            for code in check.tags:
                tag_fits(connection, code, cross=tidied, spike=spike)
        photos = [
            RecordedPhoto(
                tidy_file_name(photo.file_name),
                self._photos.keep(photo.content),
                self._photos.keep(photo.overlay),
            )
            for photo in check.photos
        ]
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            row = SpikeRow(
                make_spike(connection, tidied, spike), select_cross(connection, tidied), spike
            )
            for code in check.tags:
                tag_fits(connection, code, cross=tidied, spike=spike)
            check_id = insert_check(
                connection, check, spike_id=row.id, by=name, at=chain.moment, photos=photos
            )
            detail = Checked(
                check=check_id,
                verdict=check.verdict,
                near_anthesis=check.near_anthesis,
                result_sha256=hashlib.sha256(check.result.encode()).hexdigest(),
                photos=tuple(photo.sha256 for photo in photos),
                overlays=tuple(photo.overlay_sha256 for photo in photos),
                filed_sha256=filed_digest(
                    check.model,
                    thresholds_sha256=check.thresholds_sha256,
                    software_version=check.software_version,
                    files=[photo.file_name for photo in photos],
                ),
            )
            moment = chain.moment if at is None else known_moment(at)
            step = Step(detail, at=moment, by=name)
            append_step(connection, chain, row, step, kind=kind_of(detail), by=name)
            return select_check(connection, check_id)

    def override(
        self,
        check_id: int,
        by: str,
        reason: str,
        verdict: Verdict = Verdict.PASS,
        *,
        at: datetime | None = None,
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
        at
            When it was decided, with time zone; None is now.

        Returns
        -------
        RecordedCheck
            The check with the new override last.

        Raises
        ------
        StepError
            If the spike was given up, or the moment lies in the future, before the check was made,
            or before an earlier override of it.
        """
        name = tidy_name(by, what=_("the name of who overrides"))
        why = tidy_note(reason, what=_("the reason of the override"), required=True)
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            check = select_check(connection, check_id)
            override = Override(by=name, verdict=Verdict(verdict), reason=why, at=chain.moment)
            insert_override(connection, check_id, override)
            row = SpikeRow(
                known_spike(connection, check.cross, check.spike),
                select_cross(connection, check.cross),
                check.spike,
            )
            detail = Overridden(check_id, override.verdict, why)
            moment = moment_of_override(
                select_entries(connection, row.id),
                check_id,
                at=None if at is None else known_moment(at),
                now=chain.moment,
            )
            step = Step(detail, at=moment, by=name)
            append_step(connection, chain, row, step, kind=kind_of(detail), by=name)
            return select_check(connection, check_id)

    def photo(self, photo: RecordedPhoto) -> bytes:
        """Return the photo file's bytes, checked against their SHA-256."""
        return self._photos.read(photo.sha256)

    def overlay(self, photo: RecordedPhoto) -> bytes:
        """Return the overlay file's bytes, checked against their SHA-256."""
        return self._photos.read(photo.overlay_sha256)

    def verify(
        self,
        *,
        head: str | None = None,
        on_progress: Callable[[int, int], None] | None = None,
    ) -> Verification:
        """Prove that history and photos are what they were when they were written.

        Parameters
        ----------
        head
            Hash written down earlier that must stand in the chain, or None.
        on_progress
            Called now and then with how many entries were looked at and of how many.
        """
        return verify(self._database, self._photos, head=head, on_progress=on_progress)

    def identity(self) -> str:
        """Return what tells these records from any others: hash of the first entry, or empty."""
        with self._database.reading() as connection:
            return first_hash(connection)

    def head(self) -> str:
        """Return the hash of the last entry of the history: as long as it is the same, so is all.

        The hash that the first entry takes for the one before it where there is none.
        """
        with self._database.reading() as connection:
            return last_hash(connection)

    def back_up(self, path: Path, *, progress: Progress = silent) -> Manifest:
        """Write all that is recorded now to one new file, also while others record.

        :func:`spikecheck.store.backup.restoring.restore_backup` puts it back.

        Parameters
        ----------
        path
            The file; it must not be there yet.
        progress
            Told how far it is.

        Raises
        ------
        BackupError
            If the file is there, cannot be written, or does not read back as it was written.
        StoreError
            If the store cannot be read, or a photo is missing or damaged.
        """
        from spikecheck.store.backup.making import make_backup

        return make_backup(self._database, self._photos, path, progress=progress)

    def close(self) -> None:
        """Let go of the database."""
        self._database.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()
