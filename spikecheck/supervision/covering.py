"""What whoever may read a second time must not know yet, and who looked at it all the same.

A spike that is drawn and not read again is covered on every page, for people who may read it. Work
at the bench must go on, so whoever needs to see it may: a reading by that person is then recorded
as not blind, and left out where readers are compared.
"""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

from spikecheck.supervision.steps import is_own

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.vocabulary.spike_record import SpikeRecord

_Seen = tuple[str, str, int, int | None]


def is_to_be_covered(record: SpikeRecord, name: str) -> bool:
    """Return whether a spike's first reading is to be covered for ``name``, who may read again.

    Whoever checked it or set its verdict knows it, and may not read it again anyway.

    Parameters
    ----------
    record
        The spike.
    name
        Who looks; may be empty where nobody signs in.
    """
    waits = record.audit is not None and not record.audit.is_read
    return waits and not is_own(record, name)


class Lookers:
    """Who looked at which first reading although it was covered; safe to share between threads.

    It is kept in memory only, of each check apart: after a new check there is a new first reading.
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._seen: set[_Seen] = set()

    def look(self, name: str, records: Iterable[SpikeRecord]) -> None:
        """Note that ``name`` is shown the first readings of these spikes."""
        with self._lock:
            self._seen |= {_key(name, record) for record in records}

    def looked(self, name: str, record: SpikeRecord) -> bool:
        """Return whether ``name`` was shown the first reading of the check that stands."""
        with self._lock:
            return _key(name, record) in self._seen


def _key(name: str, record: SpikeRecord) -> _Seen:
    return name.strip().casefold(), record.cross, record.spike, record.check
