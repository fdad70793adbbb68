"""Goes on with the check of a spike as it lies on disk or in the records."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.bench_check.draft import Draft
from spikecheck.errors import SpikecheckError
from spikecheck.record_check import recorded_from

if TYPE_CHECKING:
    from spikecheck.store import RecordedCheck, Store
    from spikecheck.store.drafts import CheckDraft
    from spikecheck.thresholds import Thresholds


def draft_on_disk(store: Store, kept: CheckDraft, *, thresholds: Thresholds) -> Draft:
    """Return a draft as it lies on disk; what was recorded meanwhile is known as recorded.

    A photo that is not whole any more is left out. What was recorded lies on disk no longer.

    Parameters
    ----------
    store
        The records, and where the draft is kept.
    kept
        The draft as it lies on disk.
    thresholds
        What can be read.

    Raises
    ------
    StoreError
        If the records cannot be read.
    """
    draft = Draft(kept=kept)
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


def draft_of_check(store: Store, check: RecordedCheck, *, thresholds: Thresholds) -> Draft:
    """Return the draft that a check was recorded from, with the photos that were recorded.

    Parameters
    ----------
    store
        The records.
    check
        The check as recorded.
    thresholds
        What can be read.

    Raises
    ------
    StoreError
        If a photo is missing or damaged.
    PhotoError
        If a photo cannot be read any more.
    """
    draft = Draft()
    for photo in check.photos:
        data = store.photo(photo)
        draft.add_photo(data, file=photo.file_name, thresholds=thresholds)
    draft.recorded = check
    return draft
