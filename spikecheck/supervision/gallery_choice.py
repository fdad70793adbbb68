"""What the gallery of a session is narrowed to, and the spikes that a choice leaves."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.language import N_
from spikecheck.supervision.sample import latest_sample

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from spikecheck.vocabulary.spike_record import SpikeRecord
    from spikecheck.vocabulary.verdict import Verdict


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


_UNKNOWN = CheckFacts(None, frozenset())


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
        Probability of a leftover, 0..1, bounds included; 1 is taken where it is not known, or the
        spike was never checked.
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
    unread = hidden_spikes(records) if choice.stage is Stage.UNREAD else frozenset()
    left = [
        one for one in records
        if (choice.verdict is None or one.verdict is choice.verdict)
        and (choice.person is None or choice.person in {one.checked_by, one.emasculated_by})
        and (choice.cross is None or one.cross == choice.cross)
        and (choice.overridden is None or one.overridden is choice.overridden)
        and (choice.stage is None or _is_at(one, choice.stage, unread))
    ]  # fmt: skip
    if not choice.needs_facts:
        return tuple(left)
    facts = facts_of([one.check for one in left if one.check is not None])
    known = [(one, _UNKNOWN if one.check is None else facts[one.check]) for one in left]
    # Where the risk is not known, the spike is looked at as if it were certain.
    fitting = [
        (one, 1.0 if fact.risk is None else fact.risk) for one, fact in known
        if choice.place is None or choice.place in fact.places
    ]  # fmt: skip
    within = [pair for pair in fitting if choice.risk_least <= pair[1] <= choice.risk_most]
    if choice.by_risk:
        within.sort(key=lambda pair: -pair[1])
    return tuple(one for one, _risk in within)


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


def _is_at(record: SpikeRecord, stage: Stage, unread: frozenset[tuple[str, int]]) -> bool:
    audit = record.audit
    if audit is None:
        return False
    match stage:
        case Stage.UNREAD:
            return (record.cross, record.spike) in unread
        case Stage.DISAGREE:
            return disagree(record)
        case Stage.UNDECIDED:
            return audit.is_undecided
        case Stage.SENT_BACK:
            return record.sent_back
    return True
