"""What goes into the store and comes out of it: frozen records, never rows of the database."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.vocabulary.cross import Cross
    from spikecheck.vocabulary.findings import ModelIdentity
    from spikecheck.vocabulary.verdict import Verdict


@dataclass(frozen=True, slots=True)
class NewPhoto:
    """One photo to be filed with a check.

    Parameters
    ----------
    file_name
        Name of the file as the user gave it; folders before it are not kept.
    content
        The bytes of the file, unchanged.
    overlay
        The picture that shows the findings, as the bytes of an image file.
    """

    file_name: str
    content: bytes
    overlay: bytes


@dataclass(frozen=True, slots=True)
class NewCheck:
    """One check to be filed.

    Parameters
    ----------
    verdict
        Pass or review.
    result
        The whole result as JSON text of the result contract.
    model
        What looked at the photos.
    thresholds_sha256
        Hex digest of the thresholds in force.
    software_version
        Version of spikecheck.
    photos
        The photos in the order of the result; at least one.
    near_anthesis
        Whether an anther near anthesis was seen.
    tags
        Code of each tag that was read in the photos.
    """

    verdict: Verdict
    result: str
    model: ModelIdentity
    thresholds_sha256: str
    software_version: str
    photos: tuple[NewPhoto, ...]
    near_anthesis: bool = False
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RecordedPhoto:
    """One photo filed with a check.

    Parameters
    ----------
    file_name
        Name of the file it came from.
    sha256
        Hex digest of the photo file.
    overlay_sha256
        Hex digest of the overlay file.
    """

    file_name: str
    sha256: str
    overlay_sha256: str


@dataclass(frozen=True, slots=True)
class Override:
    """A person's word against the verdict; kept for good.

    Parameters
    ----------
    by
        Who decided.
    verdict
        What holds from then on.
    reason
        Why, in the person's words; never empty.
    at
        When, UTC.
    """

    by: str
    verdict: Verdict
    reason: str
    at: datetime


@dataclass(frozen=True, slots=True)
class RecordedCheck:
    """One check as it stands in the store.

    Parameters
    ----------
    id
        Number of the check, rising in the order of recording.
    cross
        Id of the cross.
    spike
        Number of the spike within the cross, from 1.
    by
        Who checked.
    at
        When it was recorded, UTC.
    verdict
        The verdict that was computed.
    result
        The whole result as JSON text of the result contract.
    model
        What looked at the photos.
    thresholds_sha256
        Hex digest of the thresholds in force.
    software_version
        Version of spikecheck.
    photos
        The photos in the order of the result.
    overrides
        Every override, oldest first.
    """

    id: int
    cross: str
    spike: int
    by: str
    at: datetime
    verdict: Verdict
    result: str
    model: ModelIdentity
    thresholds_sha256: str
    software_version: str
    photos: tuple[RecordedPhoto, ...]
    overrides: tuple[Override, ...]

    @property
    def standing_verdict(self) -> Verdict:
        """What holds now: the last override's verdict, or else the computed one."""
        return self.overrides[-1].verdict if self.overrides else self.verdict


@dataclass(frozen=True, slots=True)
class CrossSummary:
    """A cross and how far its spikes are.

    Parameters
    ----------
    cross
        The cross.
    spikes
        Spikes with at least one check.
    passed, review
        How many of them stand at pass or at review, by the check of each spike whose photos were
        taken last and that check's latest override; together they make ``spikes``.
    """

    cross: Cross
    spikes: int
    passed: int
    review: int
