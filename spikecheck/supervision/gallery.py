"""The spikes of a session to look over: which are shown, in what order, a page at a time.

The records of a session are read once as long as the history stands still, results of checks once
for good: a check never changes.
"""

from __future__ import annotations

import json
import threading
from collections import OrderedDict
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.audit.spikes import name_of
from spikecheck.language import N_
from spikecheck.supervision.sample import latest_sample

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from spikecheck.store import RecordedPhoto, Store
    from spikecheck.vocabulary.spike_record import SpikeRecord
    from spikecheck.vocabulary.verdict import Verdict

ON_A_PAGE = 24
_SESSIONS_KEPT = 4
_FACTS_KEPT = 50_000
_THIRDS = ("basal", "central", "apical")


class Stage(StrEnum):
    """How far the audit of a spike is."""

    DRAWN = "drawn"
    UNREAD = "unread"
    DISAGREE = "disagree"
    UNDECIDED = "undecided"
    SENT_BACK = "sent_back"


STAGE_WORDS = {
    Stage.DRAWN: N_("drawn"),
    Stage.UNREAD: N_("drawn, not read again"),
    Stage.DISAGREE: N_("readers disagree"),
    Stage.UNDECIDED: N_("read, not decided"),
    Stage.SENT_BACK: N_("sent back"),
}


@dataclass(frozen=True, slots=True)
class CheckFacts:
    """What the gallery needs of a check's result.

    Parameters
    ----------
    risk
        Probability of a leftover, 0..1, or None where it is not known.
    places
        Sides of the spike and thirds from its base where something was found.
    """

    risk: float | None
    places: frozenset[str]


@dataclass(frozen=True, slots=True)
class GalleryChoice:
    """What the gallery is narrowed to; None and the full range narrow nothing.

    Parameters
    ----------
    verdict, person, cross
        The verdict that stands; who checked or emasculated; id of the cross.
    place
        A side or a third where something was found.
    risk_least, risk_most
        Probability of a leftover, 0..1, bounds included.
    overridden
        Whether a person set the verdict.
    stage
        How far the audit is.
    by_risk
        Whether the riskiest come first, rather than the order of cross and number.
    """

    verdict: Verdict | None = None
    person: str | None = None
    cross: str | None = None
    place: str | None = None
    risk_least: float = 0.0
    risk_most: float = 1.0
    overridden: bool | None = None
    stage: Stage | None = None
    by_risk: bool = False

    @property
    def needs_facts(self) -> bool:
        """Whether results of checks must be known to choose."""
        narrowed = self.risk_least > 0 or self.risk_most < 1
        return self.place is not None or self.by_risk or narrowed

    @property
    def tells_of_first_reading(self) -> bool:
        """Whether the choice would tell what the first reading of a spike was, or whose."""
        named = (self.verdict, self.overridden, self.person)
        return self.needs_facts or any(one is not None for one in named)


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
        self, session: str, choice: GalleryChoice, number: int, *, size: int = ON_A_PAGE
    ) -> list[RecordedPhoto]:
        """Return the photos of a page, to have their thumbnails made ahead."""
        records = self.chosen(session, choice)[number * size : (number + 1) * size]
        checks = [one.check for one in records if one.check is not None]
        return [photo for photos in self._store.photos_of(checks).values() for photo in photos]


def choose(
    records: Sequence[SpikeRecord],
    choice: GalleryChoice,
    facts_of: Callable[[Sequence[int]], Mapping[int, CheckFacts]],
) -> tuple[SpikeRecord, ...]:
    """Return the spikes that ``choice`` leaves, in its order.

    Parameters
    ----------
    records
        Spikes of one session.
    choice
        What to narrow them to.
    facts_of
        Returns the facts of checks; asked only where the choice needs them.
    """
    unlike = None
    if choice.stage is Stage.UNREAD:
        unlike = hidden_spikes(records)
    left = [
        one for one in records
        if (choice.verdict is None or one.verdict is choice.verdict)
        and (choice.person is None or choice.person in {one.checked_by, one.emasculated_by})
        and (choice.cross is None or one.cross == choice.cross)
        and (choice.overridden is None or one.overridden is choice.overridden)
        and (choice.stage is None or _is_at(one, choice.stage, unlike))
    ]  # fmt: skip
    if not choice.needs_facts:
        return tuple(left)
    facts = facts_of([one.check for one in left if one.check is not None])
    known = [(one, facts[one.check]) for one in left if one.check is not None]
    fitting = [
        (one, fact) for one, fact in known
        if (choice.place is None or choice.place in fact.places)
        and choice.risk_least <= (1.0 if fact.risk is None else fact.risk) <= choice.risk_most
    ]  # fmt: skip
    if choice.by_risk:
        fitting.sort(key=lambda pair: -1.0 if pair[1].risk is None else -pair[1].risk)
    return tuple(one for one, _fact in fitting)


def hidden_spikes(records: Sequence[SpikeRecord]) -> frozenset[tuple[str, int]]:
    """Return the spikes, by cross and number, that are drawn and wait for a second reading."""
    sample = latest_sample(records)
    return frozenset() if sample is None else frozenset((n.cross, n.spike) for n in sample.unread)


def disagree(record: SpikeRecord) -> bool:
    """Return whether a spike was read twice with two answers."""
    audit = record.audit
    return (
        audit is not None and audit.read_verdict is not None
        and audit.read_verdict is not audit.first_verdict
    )  # fmt: skip


def _is_at(
    record: SpikeRecord, stage: Stage, unread: frozenset[tuple[str, int]] | None
) -> bool:  # fmt: skip
    audit = record.audit
    if audit is None:
        return False
    if stage is Stage.UNREAD:
        return unread is not None and (name_of(record).cross, record.spike) in unread
    if stage is Stage.DISAGREE:
        return disagree(record)
    if stage is Stage.UNDECIDED:
        return audit.read_at is not None and audit.decision is None
    return record.sent_back if stage is Stage.SENT_BACK else True


def _facts(text: str) -> CheckFacts:
    data = json.loads(text)
    places = set()
    for photo in data.get("photos", ()):
        for floret in photo.get("florets", ()):
            if floret.get("status") == "anther":
                places.add(str(floret["side"]))
                third = min(int(float(floret["position"]) * len(_THIRDS)), len(_THIRDS) - 1)
                places.add(_THIRDS[third])
    return CheckFacts(data.get("risk", {}).get("p_leftover"), frozenset(places))
