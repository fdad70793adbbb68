"""Ways to compare rows with what the entries say of them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select

from spikecheck.store.season_tables import entries

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sqlalchemy import Connection, Row, Table

AT_ONCE = 2000
Said = dict[str, Any]
# What is raised where a row or an entry was altered to something that this program never writes,
# such as a word in a column of moments, which SQLite takes.
UNREADABLE = (AttributeError, LookupError, TypeError, ValueError)


def entry_faults(
    connection: Connection,
    kind: str,
    table: Table,
    kept: Callable[[Connection, Said], Said | None],
) -> Iterator[str]:
    """Yield a line for each entry of a kind that a row contradicts, and for rows without an entry.

    Parameters
    ----------
    connection
        A read transaction.
    kind
        Kind of entries, each of which tells of one row.
    table
        Where the rows are.
    kept
        Returns the parts of an entry that are kept, as the tables keep them; None where the row
        is not there.
    """
    for number, said in told(connection, kind):
        try:
            found = kept(connection, said)
        except UNREADABLE:
            found = None
        if found is None or {**said, **found} != said:
            yield f"what entry {number} says ({kind.replace('_', ' ')}) is kept otherwise"
    rows = connection.execute(select(func.count()).select_from(table)).scalar_one()
    tells = connection.execute(
        select(func.count()).select_from(entries).where(entries.c.kind == kind)
    ).scalar_one()
    if rows != tells:
        yield f"{table.name} has {rows} rows, the history tells of {tells}"


def sequence_faults(
    connection: Connection,
    kind: str,
    table: Table,
    *,
    said: Callable[[Said], tuple[object, Said]],
    kept: Callable[[Row[Any]], tuple[object, Said]],
    shown: Callable[[object], str],
) -> Iterator[str]:
    """Compare rows of which the last one holds with entries, in the order of both.

    The rows are few; they are held in memory.

    Parameters
    ----------
    connection
        A read transaction.
    kind
        Kind of entries, each of which tells of one row.
    table
        Where the rows are, numbered by ``id`` in the order of writing.
    said, kept
        Return what an entry or a row is about, and what it says of that.
    shown
        Returns what it is about, in words.
    """
    by_entries: dict[object, list[Said]] = {}
    for _, body in told(connection, kind):
        about, values = said(body)
        by_entries.setdefault(about, []).append(values)
    by_rows: dict[object, list[Said]] = {}
    query = select(table).order_by(table.c.id).execution_options(yield_per=AT_ONCE)
    for row in connection.execute(query):
        about, values = kept(row)
        by_rows.setdefault(about, []).append(values)
    for about in by_entries | by_rows:
        if by_entries.get(about) != by_rows.get(about):
            yield f"{shown(about)} are not kept as the history says"


def sum_faults(
    connection: Connection,
    kinds: tuple[str, str],
    table: Table,
    *,
    key: str,
    what: str,
    kept: Callable[[Row[Any]], Said],
) -> Iterator[str]:
    """Compare rows that may be changed with the sum of what the entries say of each.

    What the entries say is kept by name: it takes memory as the table itself would.

    Parameters
    ----------
    connection
        A read transaction.
    kinds
        Kind of entries that tell of a new row, and of a change.
    table
        Where the rows are.
    key
        What an entry calls the name of a row.
    what
        What a row is called in messages.
    kept
        Returns a row as entries tell of it.
    """
    said: dict[object, Said] = {}
    for _, body in told(connection, *kinds):
        data = dict(body["data"])
        data.pop("reason", None)
        first = {"created_at": body["recorded_at"]}
        said[data[key]] = {**said.get(data[key], first), **data}
    for row in connection.execute(select(table).execution_options(yield_per=AT_ONCE)):
        found = kept(row)
        if said.pop(found[key], None) != found:
            yield f"{what} {found[key]} is not kept as the history says"
    for name in said:
        yield f"{what} {name} is told of by the history and is not there"


def told(connection: Connection, *kinds: str) -> Iterator[tuple[int, Said]]:
    """Yield number and body of the entries of these kinds, in their order.

    One that cannot be read is passed over: it was changed, which the chain shows.
    """
    query = (
        select(entries.c.number, entries.c.body)
        .where(entries.c.kind.in_(kinds))
        .order_by(entries.c.number)
    )
    for row in connection.execute(query.execution_options(yield_per=AT_ONCE)):
        try:
            said = json.loads(row.body)
        except ValueError:
            continue
        if isinstance(said, dict):
            yield row.number, said
