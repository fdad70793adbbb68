"""By what outcomes are told apart."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from spikecheck.vocabulary import SpikeRecord, Verdict

UNKNOWN = "not noted"


class By(StrEnum):
    """What makes a group."""

    ALL = "all"
    CROSS = "cross"
    SPIKE = "spike"
    SESSION = "session"
    PLACE = "place"
    TECHNICIAN = "technician"  # who emasculated
    POLLINATOR = "pollinated by"
    METHOD = "method"
    THIRD = "third of the spike"
    VERDICT = "verdict that stands"
    COMPUTED_VERDICT = "computed verdict"
    DECIDED_BY = "verdict and who gave it"


def group_of(record: SpikeRecord, by: By) -> str:
    """Return the name of the group that a spike belongs to; of thirds there is none, but three."""
    names = {
        By.ALL: "",
        By.CROSS: record.cross,
        By.SPIKE: f"{record.cross} {record.spike}",
        By.SESSION: record.session or UNKNOWN,
        By.PLACE: record.place or UNKNOWN,
        By.TECHNICIAN: record.emasculated_by or UNKNOWN,
        By.POLLINATOR: record.pollinated_by or UNKNOWN,
        By.METHOD: record.method or UNKNOWN,
        By.THIRD: "",
        By.VERDICT: _verdict(record.verdict),
        By.COMPUTED_VERDICT: _verdict(record.computed_verdict),
        By.DECIDED_BY: _verdict(record.verdict),
    }
    if by is By.DECIDED_BY and record.verdict is not None:
        return f"{names[by]}, {'set by a person' if record.overridden else 'computed'}"
    return names[by]


def _verdict(verdict: Verdict | None) -> str:
    return "not checked" if verdict is None else verdict.value
