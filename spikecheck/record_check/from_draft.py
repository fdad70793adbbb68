"""Records the check of a draft and lets go of the draft, so that a kill between does no harm."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.record_check.record import record_check
from spikecheck.store.drafts import RecordingBegun

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.store.drafts import CheckDraft
    from spikecheck.store.records import RecordedCheck
    from spikecheck.store.store import Store
    from spikecheck.vocabulary.check_result import CheckResult


def record_draft(
    store: Store,
    draft: CheckDraft,
    result: CheckResult,
    *,
    cross: str,
    spike: int,
    by: str,
    photos: Sequence[bytes],
    overlays: Sequence[bytes],
) -> RecordedCheck:
    """Record the check of a draft once, whatever happens in between.

    What is to be recorded is written into the draft first; then the check is recorded; then the
    draft is removed. Whoever was stopped on the way finds the draft again, and
    :func:`recorded_from` tells whether the check was recorded.

    Parameters
    ----------
    store
        Where to, and where the draft is kept.
    draft
        The draft as it is kept.
    result, cross, spike, by, photos, overlays
        As in :func:`~spikecheck.record_check.record_check`.

    Raises
    ------
    UsageError
        If the draft is not there any more: it was recorded or left out elsewhere; and as
        :func:`~spikecheck.record_check.record_check`.
    UnknownCrossError, TagError, StoreError
        As :func:`~spikecheck.record_check.record_check`; the draft is kept then.
    """
    kept = store.drafts.find(draft.id, owner=draft.owner)
    if kept is None:
        raise UsageError(
            _("this check was recorded or left out elsewhere"),
            cure=_("Look at the spike's checks, or take a photo to begin anew"),
        )
    recorded = recorded_from(store, kept)
    if recorded is None:
        latest = max((check.id for check in store.checks(cross, spike)), default=0)
        store.drafts.keep(replace(kept, recording=RecordingBegun(cross, spike, latest)))
        recorded = record_check(
            store, result, cross=cross, spike=spike, by=by, photos=photos, overlays=overlays
        )
    store.drafts.remove(draft.id)
    return recorded


def recorded_from(store: Store, draft: CheckDraft) -> RecordedCheck | None:
    """Return the check that was recorded from a draft before its program was stopped, or None.

    Raises
    ------
    StoreError
        If the records cannot be read.
    """
    begun = draft.recording
    if begun is None:
        return None
    photos = [photo.sha256 for photo in draft.photos]
    for check in store.checks(begun.cross, begun.spike):
        if check.id > begun.latest and [photo.sha256 for photo in check.photos] == photos:
            return check
    return None
