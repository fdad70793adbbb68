"""The spike that is being checked: its photos, its verdict, its record."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from spikecheck.bench_check.judging import Judged, judge
from spikecheck.bench_check.keeping import keep_photos
from spikecheck.bench_check.taking import TakenPhoto, take_photo
from spikecheck.bookkeeping.bench import photos_most
from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.record_check import record_draft

if TYPE_CHECKING:
    from collections.abc import Collection

    from spikecheck.store import RecordedCheck, Store
    from spikecheck.store.drafts import CheckDraft
    from spikecheck.thresholds import Thresholds
    from spikecheck.vocabulary import Finder, Verdict


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
        taken = take_photo(data, file=file, thresholds=thresholds)
        if any(photo.sha256 == taken.sha256 for photo in self.photos):
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
        self.photos = [*stay, taken]
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
        """Keep photos and choices on disk, as :func:`~.keeping.keep_photos` does.

        Raises
        ------
        StoreError
            If they cannot be written.
        """
        self.kept = keep_photos(
            store, self.photos, before=self.kept, owner=owner, by=by, cross=cross, spike=spike
        )
        return self.kept

    def judge(self, *, finder: Finder, thresholds: Thresholds) -> Judged:
        """Check the photos together; the verdict is kept unless they changed meanwhile.

        Parameters
        ----------
        finder, thresholds
            As in :func:`~spikecheck.bench_check.judge`.

        Raises
        ------
        PhotoError
            As :func:`~spikecheck.bench_check.judge`.
        """
        taken = tuple(self.photos)
        judged = judge(taken, finder=finder, thresholds=thresholds)
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
