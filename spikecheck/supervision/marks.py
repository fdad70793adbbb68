"""Photos of a spike in which leftovers are marked, and places in them as people type them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.vocabulary.audit_steps import LeftoverMark

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.audit import SpikeName
    from spikecheck.store import RecordedPhoto, Store
    from spikecheck.vocabulary.spike_record import SpikeRecord

_PLACE = re.compile(r"(\d{1,3}):(?:(\d{1,6}),(\d{1,6})|([A-Za-z]\d{1,3}))", re.ASCII)


def latest_photos(store: Store, record: SpikeRecord) -> tuple[RecordedPhoto, ...]:
    """Return the photos of a spike's latest check, in their order; none without a check."""
    return () if record.check is None else store.photos_of([record.check])[record.check]


def read_marks(store: Store, spike: SpikeName, texts: Sequence[str]) -> tuple[LeftoverMark, ...]:
    """Return the marks that ``texts`` name in the photos of a spike's latest check.

    Parameters
    ----------
    store
        The records.
    spike
        Which one.
    texts
        Number of the photo from 1 and a floret, as ``1:L5``, or a column and a row, px, as
        ``2:812,1430``.

    Raises
    ------
    UsageError
        If a text is none, or there is no such photo.
    """
    if not texts:
        return ()
    photos = latest_photos(store, store.spikes.one(spike.cross, spike.spike))
    marks = []
    for text in texts:
        found = _PLACE.fullmatch(text.strip())
        if found is None:
            raise UsageError(
                f"{text[:40]!r} names no place in a photo", cure="Write it like 1:L5 or 2:812,1430"
            )
        number = int(found[1])
        if not 1 <= number <= len(photos):
            raise UsageError(
                f"{spike} has no photo {number}",
                cure=f"Its latest check has {len(photos)} photos, numbered from 1",
            )
        photo = photos[number - 1].sha256
        if found[4]:
            marks.append(LeftoverMark(photo, floret=found[4].upper()))
        else:
            marks.append(LeftoverMark(photo, row=int(found[3]), column=int(found[2])))
    return tuple(marks)
