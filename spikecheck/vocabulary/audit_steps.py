"""What an audit does to a spike: it is drawn, read a second time, and decided about."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.language import _

if TYPE_CHECKING:
    from spikecheck.vocabulary.verdict import Verdict


class AuditDecision(StrEnum):
    """What a supervisor makes of both readings."""

    CONFIRMED = "confirmed"
    SENT_BACK = "sent_back"


class Leftovers(StrEnum):
    """What a person says of leftovers in the photos of a check, having looked at all of them."""

    NONE = "none"
    MARKED = "marked"
    UNSURE = "unsure"


@dataclass(frozen=True, slots=True)
class LeftoverMark:
    """Where a person saw a leftover.

    Parameters
    ----------
    photo
        Hex SHA-256 of the photo.
    row, column
        Place in the upright photo, whole px from the top left; None where only the floret is named.
    floret
        Id of the floret, or empty.

    Raises
    ------
    UsageError
        If neither place nor floret is given, or half a place.
    """

    photo: str
    row: int | None = None
    column: int | None = None
    floret: str = ""

    def __post_init__(self) -> None:
        if (self.row is None) != (self.column is None):
            raise UsageError(_("a place in a photo has a row and a column"), cure=_("Give both"))
        if self.row is None and not self.floret:
            raise UsageError(
                _("a leftover is marked by a place or a floret"), cure=_("Give either")
            )
        if (self.row or 0) < 0 or (self.column or 0) < 0:
            raise UsageError(
                _("a place in a photo counts from 0"), cure=_("Mark it inside the photo")
            )


@dataclass(frozen=True, slots=True)
class DrawnForAudit:
    """The spike was drawn into the sample of its session.

    Parameters
    ----------
    chain_head
        Hex hash of the last entry of the history at the draw, which decides who is drawn.
    lot, sample, accept
        The plan: spikes in the lot, spikes drawn of it, and with how many bad ones at most the
        session passes.
    parted_by
        By what the lot was parted before the draw; ``"none"`` where it was not.

    Raises
    ------
    UsageError
        If there can be no such plan.
    """

    chain_head: str
    lot: int
    sample: int
    accept: int
    parted_by: str = "none"

    def __post_init__(self) -> None:
        if not (1 <= self.sample <= self.lot and 0 <= self.accept < self.sample):
            raise UsageError(
                _("a sample of {sample} from {lot} that passes with {accept} bad cannot be").format(
                    sample=self.sample, lot=self.lot, accept=self.accept
                ),
                cure=_("Make the plan again"),
            )


@dataclass(frozen=True, slots=True)
class ReadAgain:
    """A second reader's word on the photos of a check.

    Parameters
    ----------
    check
        Number of the check, or None where the spike has none and was looked at itself.
    verdict
        Pass or review.
    leftovers
        What the reader says of leftovers.
    marks
        Where; none unless ``leftovers`` says so.
    blind
        Whether the reader did not know what the first one said.

    Raises
    ------
    UsageError
        If the words contradict one another.
    """

    check: int | None
    verdict: Verdict
    leftovers: Leftovers
    marks: tuple[LeftoverMark, ...] = ()
    blind: bool = True

    def __post_init__(self) -> None:
        refuse_contradiction(self.leftovers, self.marks)
        if (self.verdict == "pass") != (self.leftovers is Leftovers.NONE):
            raise UsageError(
                _("{verdict} and leftovers {leftovers} contradict one another").format(
                    verdict=self.verdict, leftovers=self.leftovers
                ),
                cure=_("Say pass when nothing is left; review when something is, or may be"),
            )


@dataclass(frozen=True, slots=True)
class AuditDecided:
    """A supervisor's decision on a check that was read twice.

    Parameters
    ----------
    check
        Number of the check, or None where the spike has none.
    decision
        Whether the check stands or a new one is needed.
    reason
        Why; needed when it is sent back.
    leftovers
        What the supervisor says is really in the photos.
    marks
        Where; none unless ``leftovers`` says so.

    Raises
    ------
    UsageError
        If a reason lacks, or the words contradict one another.
    """

    check: int | None
    decision: AuditDecision
    reason: str = ""
    leftovers: Leftovers = Leftovers.UNSURE
    marks: tuple[LeftoverMark, ...] = ()

    def __post_init__(self) -> None:
        refuse_contradiction(self.leftovers, self.marks)
        if self.decision is AuditDecision.SENT_BACK and not self.reason.strip():
            raise UsageError(_("sending a spike back needs a reason"), cure=_("Say why"))
        if self.decision is AuditDecision.CONFIRMED and self.leftovers is Leftovers.MARKED:
            raise UsageError(
                _("a check cannot be confirmed where a leftover is really there"),
                cure=_("Send the spike back, or say that nothing is left"),
            )


def refuse_contradiction(leftovers: Leftovers, marks: tuple[LeftoverMark, ...]) -> None:
    """Refuse marks without leftovers, and leftovers without marks."""
    if (leftovers is Leftovers.MARKED) != bool(marks):
        raise UsageError(
            _("leftovers are said to be {leftovers}, {marks} are marked").format(
                leftovers=leftovers, marks=len(marks)
            ),
            cure=_("Mark where they are, or say that you are not sure"),
        )
