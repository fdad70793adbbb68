"""Files one check beside its cross: the result, the photos it was made from, the overlays."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.store.records import NewCheck, NewPhoto
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary.check_result import identified
from spikecheck.vocabulary.verdict import ReasonCode

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from spikecheck.store.records import RecordedCheck
    from spikecheck.store.store import Store
    from spikecheck.vocabulary.check_result import CheckResult


def record_check(
    store: Store,
    result: CheckResult,
    *,
    cross: str,
    spike: int,
    by: str,
    photos: Sequence[bytes],
    overlays: Sequence[bytes],
    at: datetime | None = None,
) -> RecordedCheck:
    """Record ``result``; when this returns, nothing of it can be lost any more.

    Parameters
    ----------
    store
        Where to.
    result
        The check.
    cross
        Id of a recorded cross.
    spike
        Number of the spike within the cross, from 1.
    by
        Who checked.
    photos
        The bytes of the photo files, in the order of ``result.photos``.
    overlays
        The bytes of one overlay image file a photo, in the same order.
    at
        When the photos were taken, with time zone; None is now.

    Raises
    ------
    UsageError
        If a name is empty or cannot be kept, the spike's number is below 1, or the photos are
        not those of the result. Nothing is kept then.
    UnknownCrossError
        If there is no such cross. Nothing is kept then.
    TagError
        If a photo shows a tag that is not this spike's. Nothing is kept then.
    StoreError
        If it cannot be written.
    """
    from spikecheck.pipeline import result_entry

    codes = tuple(dict.fromkeys(tag.code for entry in result.photos for tag in entry.tags))
    if result.tag is not None:
        result = identified(result, cross=cross, spike=spike)

    if not len(photos) == len(overlays) == len(result.photos) > 0:
        raise UsageError(
            _(
                "a check of {photos} photos came with {files} photo files and {overlays} overlays"
            ).format(photos=len(result.photos), files=len(photos), overlays=len(overlays)),
            cure=_("Check the photos again and record that"),
        )
    for entry, content in zip(result.photos, photos, strict=True):
        if hashlib.sha256(content).hexdigest() != entry.sha256:
            raise UsageError(
                _("the file has changed since it was checked"),
                where=entry.file,
                cure=_("Check it again and record that"),
            )
    check = NewCheck(
        verdict=result.verdict,
        result=json.dumps(result_entry(result), allow_nan=False),
        model=result.photos[0].findings.model,
        thresholds_sha256=load_thresholds().sha256,
        software_version=result.software_version,
        photos=tuple(
            NewPhoto(entry.file, content, overlay)
            for entry, content, overlay in zip(result.photos, photos, overlays, strict=True)
        ),
        near_anthesis=any(
            reason.code == ReasonCode.TOO_CLOSE_TO_ANTHESIS for reason in result.reasons
        ),
        tags=codes,
    )
    return store.add_check(check, cross=cross, spike=spike, by=by, at=at)
