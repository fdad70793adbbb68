"""Gathers what a session report says from the records."""

from __future__ import annotations

import json
from collections import Counter
from typing import TYPE_CHECKING, Any

from spikecheck import __version__
from spikecheck.history.replay import steps_in_force
from spikecheck.reports.facts import SessionFacts, UncheckedBag
from spikecheck.supervision import session_audit
from spikecheck.supervision.session_audit import earlier_looks, inspections
from spikecheck.vocabulary.calibration import Calibration
from spikecheck.vocabulary.steps import Bagged

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import datetime
    from zoneinfo import ZoneInfo

    from spikecheck.store import Store
    from spikecheck.store.records import RecordedCheck
    from spikecheck.vocabulary.spike_record import SpikeRecord


def gather_session(
    store: Store, session_id: str, *, made_at: datetime, made_by: str, zone: ZoneInfo
) -> SessionFacts:
    """Return what the report of a session says.

    Parameters
    ----------
    store
        The records.
    session_id
        Id of the session.
    made_at
        When the report is made, with time zone.
    made_by
        By whom; may be empty.
    zone
        Of the moments that it shows.

    Raises
    ------
    StoreError
        If there is no such session, or the records cannot be read.
    """
    # Before everything else, with its hash: what is recorded later is then not vouched for.
    audit = session_audit(store, session_id)
    session, spikes = audit.session, audit.spikes
    checks = _checks(store, spikes)
    earlier = earlier_looks(store)
    looked_at = inspections(spikes, zone, earlier)
    last_day = max((one.day for one in looked_at), default=session.day)
    every = inspections(store.spikes.audited(), zone, earlier)
    so_far = [one for one in every if one.day <= last_day]
    return SessionFacts(
        session=session,
        spikes=spikes,
        crosses=tuple(store.cross(cross) for cross in dict.fromkeys(one.cross for one in spikes)),
        checks=checks,
        unchecked_bags=tuple(_unchecked_bags(store, spikes)),
        calibrations=tuple(Counter(map(_calibration, checks)).most_common()),
        audit=audit,
        looked_at=looked_at,
        looked_at_so_far=tuple(so_far),
        chain_head=audit.head,
        made_at=made_at,
        made_by=made_by.strip(),
        zone=zone,
        software_version=__version__,
    )


def _checks(store: Store, spikes: Sequence[SpikeRecord]) -> tuple[RecordedCheck, ...]:
    numbers: dict[str, set[int]] = {}
    for record in spikes:
        numbers.setdefault(record.cross, set()).add(record.spike)
    found = [
        check
        for cross, several in numbers.items()
        for check in store.checks(cross)
        if check.spike in several
    ]
    return tuple(sorted(found, key=lambda check: check.id))


def _unchecked_bags(store: Store, spikes: Iterable[SpikeRecord]) -> Iterator[UncheckedBag]:
    for record in spikes:
        if record.bagged_at is None:
            continue
        for step in steps_in_force(store.spikes.entries(record.cross, record.spike)):
            if isinstance(step.detail, Bagged) and step.detail.unchecked_reason:
                reason = step.detail.unchecked_reason
                yield UncheckedBag(record.cross, record.spike, step.at, step.by, reason)


def _calibration(check: RecordedCheck) -> Calibration | None:
    """Return what the check's pass limit rests on: the same for all of its photos."""
    photos: list[dict[str, Any]] = json.loads(check.result).get("photos", [])
    told = next((photo["calibration"] for photo in photos if photo.get("calibration")), None)
    return None if told is None else Calibration(**told)
