"""Crossing sessions: who went where on which day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import insert, select

from spikecheck.errors import StoreError, UsageError
from spikecheck.language import _
from spikecheck.store.chain_writer import ChainWriter
from spikecheck.store.season_tables import session_people, sessions
from spikecheck.vocabulary.crossing_session import CrossingSession
from spikecheck.vocabulary.text import tidy_id, tidy_name, tidy_note

if TYPE_CHECKING:
    from sqlalchemy import ColumnElement, Connection

    from spikecheck.store.database import Database


class Sessions:
    """The crossing sessions of one store.

    Parameters
    ----------
    database
        Where they are.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    def add(self, session: CrossingSession, *, by: str = "") -> CrossingSession:
        """Record a session.

        Raises
        ------
        UsageError
            If its id is taken or a text cannot be kept.
        """
        tidy = CrossingSession(
            id=tidy_id(session.id, what=_("the id of the session")),
            day=session.day,
            place=tidy_name(session.place, what=_("the place")) if session.place.strip() else "",
            people=tuple(tidy_name(one, what=_("the name of a person")) for one in session.people),
            note=tidy_note(session.note, what=_("the note")),
        )
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            if select_sessions(connection, sessions.c.id == tidy.id):
                raise UsageError(
                    _("the session {session} is recorded already").format(session=tidy.id),
                    cure=_("Use it, or give another id"),
                )
            connection.execute(
                insert(sessions).values(
                    id=tidy.id, day=tidy.day, place=tidy.place, note=tidy.note,
                    created_at=chain.moment,
                )
            )  # fmt: skip
            people = [
                {"session_id": tidy.id, "position": position, "name": name}
                for position, name in enumerate(tidy.people)
            ]
            if people:
                connection.execute(insert(session_people), people)
            data = {
                "session": tidy.id, "day": tidy.day.isoformat(), "place": tidy.place,
                "people": list(tidy.people), "note": tidy.note,
            }  # fmt: skip
            chain.add("session_opened", {"data": data}, by=by)
        return tidy

    def all(self) -> tuple[CrossingSession, ...]:
        """Return every session, the latest day first."""
        with self._database.reading() as connection:
            return select_sessions(connection)

    def one(self, session_id: str) -> CrossingSession:
        """Return one session; StoreError if there is none of this id."""
        tidied = tidy_id(session_id, what=_("the id of the session"))
        with self._database.reading() as connection:
            return known_session(connection, tidied)


def known_session(connection: Connection, session_id: str) -> CrossingSession:
    """Return one session; StoreError if there is none of this id."""
    found = select_sessions(connection, sessions.c.id == session_id)
    if not found:
        raise StoreError(
            _("no session {session_id} is recorded").format(session_id=session_id),
            cure=_("Record it first (spikecheck session add), or see spikecheck session list"),
        )
    return found[0]


def select_sessions(
    connection: Connection, condition: ColumnElement[bool] | None = None
) -> tuple[CrossingSession, ...]:
    """Return sessions, the latest day first."""
    query = select(sessions).order_by(sessions.c.day.desc(), sessions.c.id)
    named = select(session_people).order_by(session_people.c.position)
    if condition is not None:
        query = query.where(condition)
        named = named.join(sessions).where(condition)
    people: dict[str, list[str]] = {}
    for row in connection.execute(named):
        people.setdefault(row.session_id, []).append(row.name)
    return tuple(
        CrossingSession(row.id, row.day, row.place, tuple(people.get(row.id, ())), row.note)
        for row in connection.execute(query)
    )
