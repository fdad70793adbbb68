"""The spike that is being checked: its photos, its verdict, its record. No page code in here."""

from __future__ import annotations

import hashlib
import threading
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from closeups import Closeup, cut_closeups, preview
from spikecheck.errors import UsageError
from spikecheck.imaging.encoding import encode_jpeg
from spikecheck.imaging.overlay import draw_overlay
from spikecheck.photo import decode_photo
from spikecheck.pipeline import check_photos
from spikecheck.record_check import record_check

if TYPE_CHECKING:
    from spikecheck.store import RecordedCheck, Store
    from spikecheck.thresholds import Thresholds
    from spikecheck.vocabulary import CheckResult, Finder, Photo, Verdict


MOST_PHOTOS = 8
"""Of one spike: they are decoded together, about 40 MB each."""


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
    """

    photos: list[TakenPhoto] = field(default_factory=list)
    judged: Judged | None = None
    recorded: RecordedCheck | None = None
    _recording: threading.Lock = field(default_factory=threading.Lock)

    def add_photo(self, data: bytes, *, file: str, thresholds: Thresholds) -> None:
        """Take one more photo of the spike.

        Raises
        ------
        PhotoError
            If it cannot be read as a photo.
        UsageError
            If the same photo is there already, there are enough, or the verdict is recorded.
        """
        self._refuse_if_recorded()
        sha256 = hashlib.sha256(data).hexdigest()
        if any(photo.sha256 == sha256 for photo in self.photos):
            raise UsageError("is there already", where=file, cure="Take another face of the spike")
        if len(self.photos) >= MOST_PHOTOS:
            raise UsageError(
                f"{MOST_PHOTOS} photos are enough for one spike",
                where=file,
                cure="Leave one out to take another",
            )
        photo = decode_photo(data, file=file, thresholds=thresholds.reading)
        self.photos.append(TakenPhoto(file, data, sha256, preview(photo)))
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

    def record(self, store: Store, *, cross: str, spike: int, by: str) -> RecordedCheck:
        """File the verdict beside its cross, once however often it is asked for.

        A page may ask twice at the same moment (a double tap starts a second run before the first
        has ended): the second waits and gets what the first filed.

        Raises
        ------
        UsageError
            If there is no verdict yet, or a name is empty.
        UnknownCrossError
            If there is no such cross.
        StoreError
            If it cannot be filed; nothing is kept then.
        """
        with self._recording:
            if self.recorded is None:
                if self.judged is None:
                    raise UsageError("there is no verdict to record", cure="Check the photos first")
                self.recorded = record_check(
                    store,
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
                raise UsageError("the check is not recorded yet", cure="Record it first")
            if len(self.recorded.overrides) == earlier:
                self.recorded = store.override(self.recorded.id, by, reason, verdict)

    def _refuse_if_recorded(self) -> None:
        if self.recorded is not None:
            raise UsageError("this check is recorded", cure="Start the next spike for more photos")


def _overlay(photo: Photo, result: CheckResult, index: int) -> bytes:
    reasons = [reason for reason in result.reasons if reason.photo in (None, index)]
    drawn = draw_overlay(photo, result.photos[index], verdict=result.verdict, reasons=reasons)
    return encode_jpeg(drawn)
