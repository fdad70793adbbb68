"""Tables as lines of JSON, the same from any database.

A row is one JSON object by column; a moment is ISO 8601 in UTC, a day ISO 8601. Rows go in the
order of the primary key, tables in the order of their foreign keys, so that they can be put back
one after the other.
"""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import MetaData, func, insert, select

from spikecheck.errors import BackupError
from spikecheck.store.parts import in_parts
from spikecheck.store.postgresql import BACKEND

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from sqlalchemy import Column, Connection, Table

_AT_ONCE = 200
_LARGEST_INTEGER = 2**63 - 1


def dump_table(connection: Connection, table: Table) -> Iterator[bytes]:
    """Yield each row of ``table`` as a line of JSON, UTF-8, with its line end."""
    rows = connection.execution_options(yield_per=_AT_ONCE).execute(
        select(table).order_by(*table.primary_key.columns)
    )
    for row in rows.mappings():
        line = {name: _spelled(value) for name, value in row.items()}
        yield json.dumps(line, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"


def load_tables(
    connection: Connection,
    names: Iterable[str],
    lines_of: Callable[[str], Iterable[bytes]],
    *,
    where: str,
) -> Mapping[str, int]:
    """Fill the tables, which were made just now in this transaction; return the rows of each.

    Parameters
    ----------
    connection
        A write transaction.
    names
        The tables.
    lines_of
        What gives the lines of a table.
    where
        Where the lines come from, as shown to people.

    Raises
    ------
    BackupError
        If a line is no row of its table.
    """
    made = MetaData()
    made.reflect(connection, only=list(names))
    for table in reversed(made.sorted_tables):  # a revision may write rows of its own
        connection.execute(table.delete())
    counts = {}
    for table in made.sorted_tables:
        counts[table.name] = 0
        for lines in in_parts(lines_of(table.name), _AT_ONCE):
            connection.execute(insert(table), [_row(table, line, where) for line in lines])
            counts[table.name] += len(lines)
        if connection.dialect.name == BACKEND:
            _go_on_counting(connection, table)
    return counts


def _spelled(value: object) -> object:
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    return value.isoformat() if isinstance(value, date) else value


def _row(table: Table, line: bytes, where: str) -> dict[str, Any]:
    try:
        told = json.loads(line)
        fits = isinstance(told, dict) and told.keys() == set(table.columns.keys())
        row = {name: _value(table.c[name], told[name]) for name in told} if fits else None
    except (ValueError, TypeError, RecursionError):
        row = None
    if row is None:
        raise BackupError(
            f"the backup holds a line that is no row of the table {table.name}",
            where=where,
            cure="Use another copy of the backup",
        )
    return row


def _value(column: Column[Any], told: Any) -> object:  # noqa: ANN401  (of any JSON type)
    if told is None:
        return None
    kind = column.type.python_type
    if kind is datetime or kind is date:
        return kind.fromisoformat(told)
    if kind is float and type(told) is int:
        return float(told)
    if type(told) is not kind:
        raise TypeError
    if kind is int and abs(told) > _LARGEST_INTEGER:
        raise ValueError
    if kind is str:
        told.encode()  # half characters cannot be kept
    return told


def _go_on_counting(connection: Connection, table: Table) -> None:
    """Let PostgreSQL number the next row after the last one that was put in."""
    for column in table.primary_key.columns:
        sequence = connection.execute(
            select(func.pg_get_serial_sequence(table.name, column.name))
        ).scalar_one()
        if sequence is not None:
            last = connection.execute(select(func.max(column))).scalar_one()
            if last is not None:
                connection.execute(select(func.setval(sequence, last)))
