"""The spike that is being checked: its photos, its verdict, its record. No page code in here."""

from __future__ import annotations

import hashlib
import threading
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Self

from closeups import Closeup, cut_closeups, preview
from spikecheck.bookkeeping.bench import photos_most
from spikecheck.errors import SpikecheckError, UsageError
from spikecheck.imaging.encoding import encode_jpeg
from spikecheck.imaging.overlay import draw_overlay
from spikecheck.language import _
from spikecheck.photo import decode_photo
from spikecheck.pipeline import check_photos
from spikecheck.record_check import record_draft, recorded_from
from spikecheck.store.drafts import DraftPhoto, new_draft

if TYPE_CHECKING:
    from collections.abc import Collection

    from spikecheck.store import RecordedCheck, Store
    from spikecheck.store.drafts import CheckDraft
    from spikecheck.thresholds import Thresholds
    from spikecheck.vocabulary import CheckResult, Finder, Photo, Verdict


@dataclass(frozen=True, slots=True)
class TakenPhoto:
    """One photo that was accepted.

    Parameters
    ----------
    file
        Its name as it came.
    data
        The bytes of the file.
    sha256
        Hex digest of ``data``.
    preview
        The whole picture as a small JPEG: a browser cannot show every kind of file.
    """

    file: str
    data: bytes
    sha256: str
    preview: bytes


@dataclass(frozen=True, slots=True)
class Judged:
    """The verdict with its pictures.

    Parameters
    ----------
    result
        Verdict, reasons and findings.
    overlays
        One marked picture a photo, as JPEG.
    closeups
        In the order of the reasons.
    """

    result: CheckResult
    overlays: tuple[bytes, ...]
    closeups: tuple[Closeup, ...]


@dataclass(slots=True)
class Draft:
    """One spike on its way from photo to record.

    The photos may change until the verdict is recorded; each change takes the verdict back.

    Parameters
    ----------
    photos
        In the order of taking.
    judged
        The verdict, once the photos were looked at.
    recorded
        The check, once it is recorded.
    kept
        The draft as it lies on disk, or None before it was kept.
    """

    photos: list[TakenPhoto] = field(default_factory=list)
    judged: Judged | None = None
    recorded: RecordedCheck | None = None
    kept: CheckDraft | None = None
    _recording: threading.Lock = field(default_factory=threading.Lock)

    @classmethod
    def taken_up(cls, store: Store, kept: CheckDraft, *, thresholds: Thresholds) -> Self:
        """Return a draft as it lies on disk; what was recorded meanwhile is known as recorded.

        A photo that is not whole any more is left out.

        Raises
        ------
        StoreError
            If the records cannot be read.
        """
        draft = cls(kept=kept)
        for photo in kept.photos:
            try:
                data = store.drafts.photo(kept, photo)
                draft.add_photo(data, file=photo.file, thresholds=thresholds)
            except SpikecheckError:
                continue
        draft.recorded = recorded_from(store, kept)
        if draft.recorded is not None:
            store.drafts.remove(kept.id)
        return draft

    @classmethod
    def of_check(cls, store: Store, check: RecordedCheck, *, thresholds: Thresholds) -> Self:
        """Return the draft that a check was recorded from, with the photos that were recorded.

        Raises
        ------
        StoreError
            If a photo is missing or damaged.
        """
        draft = cls()
        for photo in check.photos:
            data = store.photo(photo)
            draft.add_photo(data, file=photo.file_name, thresholds=thresholds)
        draft.recorded = check
        return draft

    def add_photo(
        self, data: bytes, *, file: str, thresholds: Thresholds, instead_of: Collection[str] = ()
    ) -> None:
        """Take one more photo of the spike.

        Parameters
        ----------
        data, file
            Bytes of the file and its name.
        thresholds
            What can be read.
        instead_of
            SHA-256 of the photos that it takes the place of.

        Raises
        ------
        PhotoError
            If it cannot be read as a photo; then no other is left out either.
        UsageError
            If the same photo is there already, there are enough, or the verdict is recorded.
        """
        self._refuse_if_recorded()
        sha256 = hashlib.sha256(data).hexdigest()
        if any(photo.sha256 == sha256 for photo in self.photos):
            raise UsageError(
                _("is there already"), where=file, cure=_("Take another face of the spike")
            )
        stay = [photo for photo in self.photos if photo.sha256 not in instead_of]
        if len(stay) >= photos_most():
            raise UsageError(
                _("{n} photos are enough for one spike").format(n=photos_most()),
                where=file,
                cure=_("Leave one out to take another"),
            )
        photo = decode_photo(data, file=file, thresholds=thresholds.reading)
        self.photos = [*stay, TakenPhoto(file, data, sha256, preview(photo))]
        self.judged = None

    def drop_photo(self, sha256: str) -> None:
        """Leave one photo out again; unknown digests change nothing.

        Raises
        ------
        UsageError
            If the verdict is recorded.
        """
        self._refuse_if_recorded()
        self.photos = [photo for photo in self.photos if photo.sha256 != sha256]
        self.judged = None

    def keep(
        self, store: Store, *, owner: str, by: str, cross: str | None, spike: int
    ) -> CheckDraft:
        """Keep photos and choices on disk, so that they outlive page and server.

        Parameters
        ----------
        store
            Where to.
        owner
            Name of who signed in, or empty.
        by, cross, spike
            What is chosen so far.

        Raises
        ------
        StoreError
            If they cannot be written.
        """
        start = self.kept or new_draft(owner, now=datetime.now(UTC))
        # What was about to be recorded stands on disk alone.
        start = store.drafts.find(start.id, owner=owner) or start
        on_disk = {photo.sha256 for photo in start.photos}
        photos = tuple(DraftPhoto(photo.file, photo.sha256) for photo in self.photos)
        draft = replace(
            start, by=by, cross=cross, spike=spike, photos=photos,
            recording=start.recording if photos == start.photos else None,
        )  # fmt: skip
        new = [photo.data for photo in self.photos if photo.sha256 not in on_disk]
        store.drafts.keep(draft, new)
        self.kept = draft
        return draft

    def judge(self, *, finder: Finder, thresholds: Thresholds) -> Judged:
        """Check the photos together, as faces of one spike."""
        taken = tuple(self.photos)
        photos = [
            decode_photo(one.data, file=one.file, thresholds=thresholds.reading) for one in taken
        ]
        result = check_photos(photos, finder=finder, thresholds=thresholds)
        overlays = tuple(_overlay(photo, result, index) for index, photo in enumerate(photos))
        judged = Judged(result, overlays, cut_closeups(photos, result))
        if taken == tuple(self.photos):
            self.judged = judged
        return judged

    def record(
        self, store: Store, *, cross: str, spike: int, by: str, owner: str = ""
    ) -> RecordedCheck:
        """File the verdict beside its cross, once however often it is asked for.

        A page may ask twice at the same moment (a double tap starts a second run before the first
        has ended): the second waits and gets what the first filed.

        Raises
        ------
        UsageError
            If there is no verdict yet, a name is empty, or the check was recorded or left out in
            another tab.
        UnknownCrossError
            If there is no such cross.
        StoreError
            If it cannot be filed; nothing is kept then.
        """
        with self._recording:
            if self.recorded is None:
                if self.judged is None:
                    raise UsageError(
                        _("there is no verdict to record"), cure=_("Check the photos first")
                    )
                kept = self.kept or self.keep(store, owner=owner, by=by, cross=cross, spike=spike)
                self.recorded = record_draft(
                    store,
                    kept,
                    self.judged.result,
                    photos=[photo.data for photo in self.photos],
                    overlays=self.judged.overlays,
                    cross=cross,
                    spike=spike,
                    by=by,
                )
            return self.recorded

    def override(
        self, store: Store, *, verdict: Verdict, by: str, reason: str, earlier: int
    ) -> None:
        """Set a person's word against the recorded verdict, with its reason.

        ``earlier`` is how many such words the person saw: if there are more by now, the same
        button was tapped twice and nothing is added.

        Raises
        ------
        UsageError
            If the check is not recorded, or the name or the reason is empty.
        StoreError
            If it cannot be written.
        """
        with self._recording:
            if self.recorded is None:
                raise UsageError(_("the check is not recorded yet"), cure=_("Record it first"))
            if len(self.recorded.overrides) == earlier:
                self.recorded = store.override(self.recorded.id, by, reason, verdict)

    def _refuse_if_recorded(self) -> None:
        if self.recorded is not None:
            raise UsageError(
                _("this check is recorded"), cure=_("Start the next spike for more photos")
            )


def _overlay(photo: Photo, result: CheckResult, index: int) -> bytes:
    reasons = [reason for reason in result.reasons if reason.photo in (None, index)]
    drawn = draw_overlay(photo, result.photos[index], verdict=result.verdict, reasons=reasons)
    return encode_jpeg(drawn)
