"""The outcome of one check: what `check --json` prints and the record keeps."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.language import _

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from spikecheck.vocabulary.findings import Findings
    from spikecheck.vocabulary.floret import JudgedFloret
    from spikecheck.vocabulary.quality import PhotoQuality
    from spikecheck.vocabulary.seen_tag import SeenTag
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
    tags
        The cross tags that were read in it, from left to right.
    """

    file: str
    sha256: str
    width: int
    height: int
    taken_at: datetime | None
    quality: PhotoQuality
    findings: Findings
    florets: tuple[JudgedFloret, ...]
    tags: tuple[SeenTag, ...] = ()


@dataclass(frozen=True, slots=True)
class CheckedTag:
    """Which spike the tag in the photos says this is.

    Parameters
    ----------
    code
        Code of the tag.
    cross, spike
        Id of the cross and number of the spike that the code stands for; None where nobody looked
        it up, or it is not in the records.
    """

    code: str
    cross: str | None = None
    spike: int | None = None


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
    tag
        The tag in the photos, or None where none was read, or several that differ.
    """

    verdict: Verdict
    reasons: tuple[Reason, ...]
    risk: Risk
    photos: tuple[PhotoResult, ...]
    timing_ms: Mapping[str, float]
    software_version: str
    tag: CheckedTag | None = None


def identified(result: CheckResult, *, cross: str, spike: int) -> CheckResult:
    """Return the result with the cross and spike that its tag stands for, as the records say.

    Parameters
    ----------
    result
        Whose tag was read.
    cross, spike
        Id of the cross and number of the spike in it.

    Raises
    ------
    UsageError
        If no tag was read, or several that differ: there is nothing to look up.
    """
    if result.tag is None:
        raise UsageError(
            _("no tag was read in these photos"), cure=_("Name cross and spike by hand")
        )
    return replace(result, tag=replace(result.tag, cross=cross, spike=spike))
