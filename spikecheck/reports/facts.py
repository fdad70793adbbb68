"""What a session report is about, gathered and not yet put into words."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime
    from zoneinfo import ZoneInfo

    from spikecheck.audit import Inspection
    from spikecheck.store.records import Override, RecordedCheck
    from spikecheck.supervision import SessionAudit
    from spikecheck.vocabulary.calibration import Calibration
    from spikecheck.vocabulary.cross import Cross
    from spikecheck.vocabulary.crossing_session import CrossingSession
    from spikecheck.vocabulary.findings import ModelIdentity
    from spikecheck.vocabulary.spike_record import SpikeRecord

_Thing = TypeVar("_Thing")


@dataclass(frozen=True, slots=True)
class UncheckedBag:
    """A bag that went on without a check that holds.

    Parameters
    ----------
    cross, spike
        The spike.
    at
        When, UTC.
    by
        Who bagged it.
    reason
        Why, in that person's words.
    """

    cross: str
    spike: int
    at: datetime
    by: str
    reason: str


@dataclass(frozen=True, slots=True)
class SessionFacts:
    """Everything a session report says.

    Parameters
    ----------
    session
        The crossing session.
    spikes
        The spikes emasculated in it, by cross and number.
    crosses
        Their crosses, by id.
    checks
        Every check of these spikes, by number.
    unchecked_bags
        By cross and number of the spike, then by time.
    calibrations
        What the results rest on: each with the number of checks, the most frequent first; None
        stands for checks without one.
    audit
        Counts of the session, and its second look as far as it is.
    looked_at
        What second looks at this session found.
    looked_at_so_far
        What second looks at all sessions up to this one found: running sums need them.
    chain_head
        Hex hash of the last entry of the history when the report was made.
    made_at, made_by
        When, UTC, and by whom; the name may be empty.
    zone
        Of the moments shown.
    software_version
        Of the program that made the report.
    """

    session: CrossingSession
    spikes: tuple[SpikeRecord, ...]
    crosses: tuple[Cross, ...]
    checks: tuple[RecordedCheck, ...]
    unchecked_bags: tuple[UncheckedBag, ...]
    calibrations: tuple[tuple[Calibration | None, int], ...]
    audit: SessionAudit
    looked_at: tuple[Inspection, ...]
    looked_at_so_far: tuple[Inspection, ...]
    chain_head: str
    made_at: datetime
    made_by: str
    zone: ZoneInfo
    software_version: str

    @property
    def latest_checks(self) -> dict[tuple[str, int], RecordedCheck]:
        """The check that counts for each spike that has one, by cross and number."""
        by_number = {check.id: check for check in self.checks}
        return {
            (record.cross, record.spike): by_number[record.check]
            for record in self.spikes
            if record.check is not None
        }

    @property
    def overrides(self) -> tuple[tuple[RecordedCheck, Override], ...]:
        """Every override with its check, by number of the check, then by time."""
        return tuple((check, override) for check in self.checks for override in check.overrides)

    def models(self) -> tuple[tuple[ModelIdentity, int], ...]:
        """Return what looked at the photos, with the number of checks, the most frequent first."""
        return _counted(check.model for check in self.checks)

    def thresholds(self) -> tuple[tuple[str, int], ...]:
        """Return the digests of the thresholds in force, alike."""
        return _counted(check.thresholds_sha256 for check in self.checks)

    def versions(self) -> tuple[tuple[str, int], ...]:
        """Return the versions of the program that checked, alike."""
        return _counted(check.software_version for check in self.checks)


def _counted(things: Iterable[_Thing]) -> tuple[tuple[_Thing, int], ...]:
    return tuple(Counter(things).most_common())
