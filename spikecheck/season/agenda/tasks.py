"""One task: what to do with one spike, and when."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.language import N_, _, day
from spikecheck.season.deadline import Deadline

if TYPE_CHECKING:
    from datetime import date, datetime, tzinfo

    from spikecheck.season.clock import WarmthBasis


class TaskKind(StrEnum):
    """What is to be done, in the order of a spike's way."""

    EMASCULATE = "emasculate"
    CHECK = "check"
    GO_BACK = "go_back"
    CHECK_AGAIN = "check_again"
    OPEN_AND_CHECK = "open_and_check"
    BAG = "bag"
    POLLINATE = "pollinate"
    REBAG = "rebag"
    HARVEST = "harvest"
    THRESH = "thresh"


class TaskState(StrEnum):
    """How urgent it is, most urgent first."""

    OVERDUE = "overdue"
    TODAY = "today"
    THIS_WEEK = "this_week"
    LATER = "later"


_TO_DO = {
    TaskKind.EMASCULATE: N_("Emasculate"),
    TaskKind.CHECK: N_("Take photos and check"),
    TaskKind.GO_BACK: N_("Go back, take out what is left and check again"),
    TaskKind.CHECK_AGAIN: N_("Check again before bagging, the last check holds no more"),
    TaskKind.OPEN_AND_CHECK: N_("An audit sent it back: open the bag, look again and check"),
    TaskKind.BAG: N_("Bag"),
    TaskKind.POLLINATE: N_("Pollinate"),
    TaskKind.REBAG: N_("Put the bag back on"),
    TaskKind.HARVEST: N_("Harvest"),
    TaskKind.THRESH: N_("Thresh and count seeds"),
}
# Done within hours: their sentences tell the hour.
_WITHIN_HOURS = {TaskKind.CHECK, TaskKind.GO_BACK, TaskKind.OPEN_AND_CHECK, TaskKind.BAG}


@dataclass(frozen=True, slots=True)
class Task:
    """What to do next with one spike.

    Parameters
    ----------
    kind
        What.
    cross, spike, male, place
        Of the spike; the male is the planned one.
    first, best, last
        From when on, when best and until when, UTC; None where there is no such moment or
        temperatures are not known that far.
    last_early
        The earliest that the last moment for pollen may be; None for other tasks.
    day
        Local day to do it: that of ``best``, today if that has passed, None if it is not known.
    state
        How urgent it is.
    basis
        What the moments rest on, or None where temperature plays no part.
    remark
        What to know of the temperatures behind it, a sentence, or empty.
    zone
        Of local days.
    """

    kind: TaskKind
    cross: str
    spike: int
    male: str
    place: str
    first: datetime | None
    best: datetime | None
    last: datetime | None
    last_early: datetime | None
    day: date | None
    state: TaskState
    basis: WarmthBasis | None
    remark: str
    zone: tzinfo

    @property
    def sentence(self) -> str:
        """What to do and when, in plain words of the reader's language."""
        text = self._told(to_do(self.kind, self.male))
        return f"{text} {self.remark}" if self.remark else text

    def _told(self, what: str) -> str:
        if self.kind in (TaskKind.POLLINATE, TaskKind.HARVEST):
            return self._in_window(what)
        if self.last is not None:
            if self.kind in _WITHIN_HOURS:
                moment = Deadline(self.last, self.basis).words(self.zone)
                return _("{to_do} by {moment}.").format(to_do=what, moment=moment)
            if self.kind is TaskKind.EMASCULATE:
                last = self.last.astimezone(self.zone)
                return _("{to_do} by {moment}.").format(to_do=what, moment=day(last))
        return f"{what}."

    def _in_window(self, what: str) -> str:
        # Ripe seed waits for the harvester, a stigma for nobody.
        until = None if self.kind is TaskKind.HARVEST else self.last
        days = [
            told.format(day=self._day(moment))
            for told, moment in (
                (_("from {day}"), self.first),
                (_("best on {day}"), self.best),
                (_("until {day}"), until),
            )
            if moment is not None
        ]
        if until is not None and self.last_early is not None:
            early = self._day(self.last_early)
            if early != self._day(until):
                days.append(_("perhaps only until {day}").format(day=early))
        if not days:
            return _("{to_do}, later than temperatures reach.").format(to_do=what)
        return f"{what}: {', '.join(days)}."

    def _day(self, moment: datetime) -> str:
        return day(moment.astimezone(self.zone))


def to_do(kind: TaskKind, male: str) -> str:
    """Return what to do, as the beginning of a sentence."""
    if kind is TaskKind.POLLINATE:
        return _("Pollinate with {male}").format(male=male)
    return _(_TO_DO[kind])
