"""Parents in the database: recorded once, filled in later, never silently changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import insert, select, update

from spikecheck.errors import StoreError, UsageError
from spikecheck.store.season_tables import parents
from spikecheck.vocabulary.parent import Parent

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from spikecheck.store.chain_writer import ChainWriter

_DETAILS = ("accession", "pedigree", "place")


def put_parent(
    connection: Connection,
    chain: ChainWriter,
    name: str,
    *,
    by: str,
    accession: str = "",
    pedigree: str = "",
    place: str = "",
) -> None:
    """Record a parent, or fill in what was not known of it; all texts are tidy.

    Raises
    ------
    UsageError
        If something else is recorded of it already.
    """
    given = {"accession": accession, "pedigree": pedigree, "place": place}
    known = connection.execute(select(parents).where(parents.c.name == name)).one_or_none()
    if known is None:
        connection.execute(insert(parents).values(name=name, created_at=chain.moment, **given))
        chain.add("parent_recorded", {"data": {"name": name, **given}}, by=by)
        return
    new = {}
    for detail in _DETAILS:
        was = getattr(known, detail)
        if given[detail] and given[detail] != was:
            if was:
                raise UsageError(
                    f"the {detail} of {name} is recorded as {was}, not {given[detail]}",
                    cure="Leave it out, or change the parent first (spikecheck parent change)",
                )
            new[detail] = given[detail]
    if new:
        _change(connection, chain, name, new, by=by, reason="")


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
    _change(connection, chain, name, new, by=by, reason=reason)


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


def _change(
    connection: Connection, chain: ChainWriter, name: str, new: dict[str, str], *,
    by: str, reason: str,
) -> None:  # fmt: skip
    connection.execute(update(parents).where(parents.c.name == name).values(**new))
    chain.add("parent_changed", {"data": {"name": name, **new, "reason": reason}}, by=by)
