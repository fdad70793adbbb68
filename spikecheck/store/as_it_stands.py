"""The spikes as they stand while one writer holds the records."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.language import _
from spikecheck.store.crosses import select_cross
from spikecheck.store.season_tables import spike_states
from spikecheck.store.spike_rows import known_spike
from spikecheck.store.spike_states import select_record, select_records
from spikecheck.vocabulary.spike_record import SpikeRecord
from spikecheck.vocabulary.text import tidy_id

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Connection

    from spikecheck.store.chain_writer import ChainWriter


class AsItStands:
    """What whoever writes next may rest on: nobody else writes before that is done.

    Parameters
    ----------
    connection, chain
        A write transaction that holds the chain.
    """

    def __init__(self, connection: Connection, chain: ChainWriter) -> None:
        self._connection = connection
        self._chain = chain

    @property
    def moment(self) -> datetime:
        """The moment of writing, UTC."""
        return self._chain.moment

    @property
    def head(self) -> str:
        """Hex hash of the last entry of the history."""
        return self._chain.head

    def spike(self, cross: str, number: int) -> SpikeRecord:
        """Return a spike; StoreError if nothing is recorded of it."""
        return select_spike(self._connection, cross, number)

    def in_session(self, session: str) -> tuple[SpikeRecord, ...]:
        """Return the spikes emasculated in a session."""
        condition = spike_states.c.session_id == session
        return tuple(select_records(self._connection, condition))


def select_spike(connection: Connection, cross: str, number: int) -> SpikeRecord:
    """Return a spike as it stands; StoreError if nothing is recorded of it."""
    known = select_cross(connection, tidy_id(cross, what=_("the id of the cross")))
    found = select_record(connection, known_spike(connection, known.id, number))
    if found is not None:
        return found
    return SpikeRecord(known.id, number, known.crop, known.female, known.male)
