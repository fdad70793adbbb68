"""The spikes of a session to look over: which are shown, in what order, a page at a time.

The records of a session are read once as long as the history stands still, results of checks once
for good: a check never changes.
"""

from __future__ import annotations

import json
import threading
from collections import OrderedDict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.supervision.gallery_choice import CheckFacts, choose, hidden_spikes
from spikecheck.vocabulary.third import third_at

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from spikecheck.store import RecordedPhoto, Store
    from spikecheck.supervision.gallery_choice import GalleryChoice
    from spikecheck.vocabulary.spike_record import SpikeRecord

ON_A_PAGE = 24
_SESSIONS_KEPT = 4
_FACTS_KEPT = 50_000


@dataclass(frozen=True, slots=True)
class GalleryPage:
    """One page.

    Parameters
    ----------
    records
        Spikes on it.
    photos
        Photos of each one's latest check, in the same order.
    facts
        Of each check that is shown.
    hidden
        Spikes, by cross and number, whose verdict and overlay are not shown: they are drawn, and
        whoever reads them must not know.
    number, pages
        Number of the page from 0, and how many there are.
    first, total
        Number of the first spike from 1 (0 where there is none), and how many are chosen.
    """

    records: tuple[SpikeRecord, ...]
    photos: tuple[tuple[RecordedPhoto, ...], ...]
    facts: Mapping[int, CheckFacts]
    hidden: frozenset[tuple[str, int]]
    number: int
    pages: int
    first: int
    total: int


class Gallery:
    """Galleries of a store's sessions; safe to share between threads.

    Parameters
    ----------
    store
        The records.
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        self._lock = threading.Lock()
        self._sessions: OrderedDict[str, tuple[str, tuple[SpikeRecord, ...]]] = OrderedDict()
        self._facts: dict[int, CheckFacts] = {}

    def records(self, session: str) -> tuple[SpikeRecord, ...]:
        """Return the spikes of a session, read again only when the history has grown."""
        head = self._store.head()
        with self._lock:
            kept = self._sessions.get(session)
            if kept is not None and kept[0] == head:
                self._sessions.move_to_end(session)
                return kept[1]
        records = self._store.spikes.in_session(session)
        with self._lock:
            self._sessions[session] = head, records
            self._sessions.move_to_end(session)
            while len(self._sessions) > _SESSIONS_KEPT:
                self._sessions.popitem(last=False)
        return records

    def facts(self, checks: Sequence[int]) -> dict[int, CheckFacts]:
        """Return the facts of checks by their number."""
        with self._lock:
            known = {one: self._facts[one] for one in checks if one in self._facts}
        lacking = sorted(set(checks) - set(known))
        if lacking:
            texts = self._store.results(lacking)
            read = {one: _facts(text) for one, text in zip(lacking, texts, strict=True)}
            known |= read
            with self._lock:
                if len(self._facts) > _FACTS_KEPT:
                    self._facts.clear()
                self._facts |= read
        return known

    def chosen(self, session: str, choice: GalleryChoice) -> tuple[SpikeRecord, ...]:
        """Return the spikes of a session that a choice leaves, in order.

        Those that wait for a second reading are left out where the choice would tell of the first.
        """
        records = self.records(session)
        if choice.tells_of_first_reading:
            hidden = hidden_spikes(records)
            records = tuple(one for one in records if (one.cross, one.spike) not in hidden)
        return choose(records, choice, self.facts)

    def page(
        self, session: str, choice: GalleryChoice, number: int, *, size: int = ON_A_PAGE
    ) -> GalleryPage:
        """Return one page of a session's gallery; a number beyond the last gives the last."""
        records = self.chosen(session, choice)
        pages = max(1, -(-len(records) // size))
        number = min(max(number, 0), pages - 1)
        shown = records[number * size : (number + 1) * size]
        hidden = hidden_spikes(self.records(session))
        checks = [one.check for one in shown if one.check is not None]
        photos = self._store.photos_of(checks)
        told = [
            one.check for one in shown
            if one.check is not None and (one.cross, one.spike) not in hidden
        ]  # fmt: skip
        return GalleryPage(
            shown, tuple(photos.get(one.check or 0, ()) for one in shown), self.facts(told),
            hidden, number, pages, number * size + 1 if shown else 0, len(records),
        )  # fmt: skip

    def photos_ahead(
        self,
        session: str,
        choice: GalleryChoice,
        number: int,
        *,
        pages: int = 1,
        size: int = ON_A_PAGE,
    ) -> list[RecordedPhoto]:
        """Return the photos of a page and those after it, to have their thumbnails made ahead."""
        records = self.chosen(session, choice)[number * size : (number + pages) * size]
        checks = [one.check for one in records if one.check is not None]
        return [photo for photos in self._store.photos_of(checks).values() for photo in photos]


def _facts(text: str) -> CheckFacts:
    data = json.loads(text)
    places = set()
    for photo in data.get("photos", ()):
        for floret in photo.get("florets", ()):
            if floret.get("status") == "anther":
                places.add(str(floret["side"]))
                places.add(third_at(float(floret["position"])))
    return CheckFacts(data.get("risk", {}).get("p_leftover"), frozenset(places))
