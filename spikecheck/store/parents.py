"""Parents in the database: recorded once, filled in later, never silently changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select, update

from spikecheck.errors import StoreError
from spikecheck.store.season_tables import parents
from spikecheck.vocabulary.parent import Parent

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from spikecheck.store.chain_writer import ChainWriter

DETAILS = ("accession", "pedigree", "place")


def change_parent(
    connection: Connection, chain: ChainWriter, name: str, new: dict[str, str], *,
    by: str, reason: str,
) -> None:  # fmt: skip
    """Set details of a recorded parent to ``new``; the history keeps what they were.

    Raises
    ------
    StoreError
        If there is no such parent.
    """
    select_parent(connection, name)
    connection.execute(update(parents).where(parents.c.name == name).values(**new))
    chain.add("parent_changed", {"data": {"name": name, **new, "reason": reason}}, by=by)


def select_parent(connection: Connection, name: str) -> Parent:
    """Return one parent; StoreError if there is none of this name."""
    row = connection.execute(select(parents).where(parents.c.name == name)).one_or_none()
    if row is None:
        raise StoreError(f"no parent {name} is recorded", cure="See spikecheck parent list")
    return Parent(row.name, row.accession, row.pedigree, row.place, row.created_at)


def select_parents(connection: Connection) -> tuple[Parent, ...]:
    """Return every parent in the order of names."""
    rows = connection.execute(select(parents).order_by(parents.c.name))
    return tuple(Parent(r.name, r.accession, r.pedigree, r.place, r.created_at) for r in rows)
