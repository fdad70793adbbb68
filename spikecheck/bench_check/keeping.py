"""Keeps what was taken and chosen so far on disk, so that it outlives page and server."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from spikecheck.store.drafts import DraftPhoto, new_draft

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.bench_check.taking import TakenPhoto
    from spikecheck.store import Store
    from spikecheck.store.drafts import CheckDraft


def keep_photos(
    store: Store,
    photos: Sequence[TakenPhoto],
    *,
    before: CheckDraft | None,
    owner: str,
    by: str,
    cross: str | None,
    spike: int,
) -> CheckDraft:
    """Keep photos and choices on disk and return how they lie there.

    What was about to be recorded stays noted as long as the photos are the same.

    Parameters
    ----------
    store
        Where to.
    photos
        In the order of taking.
    before
        The draft as it was kept last, or None to begin one.
    owner
        Name of who signed in, or empty.
    by, cross, spike
        What is chosen so far.

    Raises
    ------
    StoreError
        If they cannot be written.
    """
    start = before or new_draft(owner, now=datetime.now(UTC))
    # What was about to be recorded stands on disk alone.
    start = store.drafts.find(start.id, owner=owner) or start
    on_disk = {photo.sha256 for photo in start.photos}
    named = tuple(DraftPhoto(photo.file, photo.sha256) for photo in photos)
    draft = replace(
        start, by=by, cross=cross, spike=spike, photos=named,
        recording=start.recording if named == start.photos else None,
    )  # fmt: skip
    store.drafts.keep(draft, [photo.data for photo in photos if photo.sha256 not in on_disk])
    return draft
