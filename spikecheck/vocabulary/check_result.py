"""The outcome of one check: what `check --json` prints and the record keeps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from spikecheck.vocabulary.findings import Findings
    from spikecheck.vocabulary.floret import JudgedFloret
    from spikecheck.vocabulary.quality import PhotoQuality
    from spikecheck.vocabulary.verdict import Reason, Risk, Verdict

SCHEMA = "spikecheck.result/1"


@dataclass(frozen=True, slots=True)
class PhotoResult:
    """What was seen and concluded in one photo.

    Parameters
    ----------
    file, sha256, width, height, taken_at
        As in :class:`~spikecheck.vocabulary.photo.Photo`; pixels are left out.
    quality
        How well it can be judged.
    findings
        Spike, scale, anthers and model.
    florets
        The florets of ``findings``, judged, in the same order.
    """

    file: str
    sha256: str
    width: int
    height: int
    taken_at: datetime | None
    quality: PhotoQuality
    findings: Findings
    florets: tuple[JudgedFloret, ...]


@dataclass(frozen=True, slots=True)
class CheckResult:
    """The verdict on one spike, from one or more photos of it.

    Parameters
    ----------
    verdict
        Pass or review.
    reasons
        Most urgent first; never empty on review.
    risk
        How likely an anther was left.
    photos
        One entry a photo, in the order given.
    timing_ms
        Milliseconds by stage.
    software_version
        Version of spikecheck.
    """

    verdict: Verdict
    reasons: tuple[Reason, ...]
    risk: Risk
    photos: tuple[PhotoResult, ...]
    timing_ms: Mapping[str, float]
    software_version: str
