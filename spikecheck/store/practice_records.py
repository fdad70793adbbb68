"""Records what is practised, and reads it again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import and_, insert, select

from spikecheck.errors import StoreError, UsageError
from spikecheck.history.step_json import moment_text
from spikecheck.language import _
from spikecheck.store.chain_writer import ChainWriter
from spikecheck.store.practice_session import (
    DrawnPhoto,
    GivenAnswer,
    MadeDecision,
    PhotoShown,
    PracticeSession,
)
from spikecheck.store.practice_tables import (
    practice_answers,
    practice_decisions,
    practice_photos,
    practice_sessions,
    practice_views,
)
from spikecheck.vocabulary.text import tidy_name
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from sqlalchemy import Connection, Select

    from spikecheck.store.database import Database


class PracticeRecords:
    """Practice in one store. Moments are given: the caller's clock says how long one looked.

    Parameters
    ----------
    database
        Where it is.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    def begin(
        self, person: str, *, seed: int, numbers: str, photos: Sequence[DrawnPhoto], at: datetime
    ) -> PracticeSession:
        """Record a new session, its photos in the order they are shown.

        Parameters
        ----------
        person
            Who practises.
        seed
            What the photos were drawn with, 0 to 2**31 - 1.
        numbers
            The numbers of practice in force, as JSON.
        photos
            One or more.
        at
            When, with time zone.

        Raises
        ------
        UsageError
            If the name cannot be kept.
        """
        name = tidy_name(person, what=_("the name of who practises"))
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            (number,) = connection.execute(
                insert(practice_sessions)
                .values(person=name, seed=seed, numbers=numbers, begun_at=at)
                .returning(practice_sessions.c.id)
            ).one()
            rows = [
                {"session_id": number, "position": position, "photo": one.photo,
                 "source": one.source, "truth": one.truth}
                for position, one in enumerate(photos)
            ]  # fmt: skip
            connection.execute(insert(practice_photos), rows)
            data = {
                "session": number, "seed": seed, "numbers": numbers, "at": moment_text(at),
                "photos": [[one.photo, one.source, one.truth] for one in photos],
            }  # fmt: skip
            chain.add("practice_begun", {"data": data}, by=name)
            return _known(connection, number)

    def show(self, session_id: int, position: int, *, at: datetime) -> None:
        """Record that a photo came on view.

        Raises
        ------
        StoreError
            If there is no such photo.
        UsageError
            If it is answered already.
        """
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            session = _known(connection, session_id)
            _unanswered(session, position)
            (number,) = connection.execute(
                insert(practice_views)
                .values(session_id=session_id, position=position, shown_at=at)
                .returning(practice_views.c.id)
            ).one()
            data = {
                "view": number, "session": session_id, "position": position, "at": moment_text(at),
            }  # fmt: skip
            chain.add("practice_shown", {"data": data}, by=session.person)

    def answer(
        self,
        session_id: int,
        position: int,
        answer: GivenAnswer,
        *,
        decision: MadeDecision | None = None,
    ) -> None:
        """Record an answer, and what it decided, for good.

        Raises
        ------
        StoreError
            If there is no such photo.
        UsageError
            If it was answered before, or never shown.
        """
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            session = _known(connection, session_id)
            if not _unanswered(session, position).shown_at:
                raise UsageError(_("this photo was not shown yet"), cure=_("Look at it first"))
            place = {"session_id": session_id, "position": position}
            connection.execute(
                insert(practice_answers).values(
                    verdict=answer.verdict, marks=answer.marks, answered_at=answer.at, **place
                )
            )
            data = {
                "session": session_id, "position": position, "verdict": answer.verdict.value,
                "marks": answer.marks, "at": moment_text(answer.at),
            }  # fmt: skip
            chain.add("practice_answered", {"data": data}, by=session.person)
            if decision is not None:
                counts = {
                    "decision": decision.decision, "photos": decision.photos,
                    "misses": decision.misses, "clean": decision.clean,
                    "false_alarms": decision.false_alarms,
                }  # fmt: skip
                connection.execute(insert(practice_decisions).values(**place, **counts))
                told = {"session": session_id, "position": position, **counts}
                chain.add("practice_decided", {"data": told}, by=session.person)

    def of(self, person: str) -> tuple[PracticeSession, ...]:
        """Return every session of a person in the order of beginning."""
        with self._database.reading() as connection:
            return _select(connection, person=person.strip())

    def people(self) -> tuple[str, ...]:
        """Return everybody who has practised, by name."""
        with self._database.reading() as connection:
            query = select(practice_sessions.c.person).distinct()
            return tuple(sorted(connection.execute(query).scalars()))


def _known(connection: Connection, session_id: int) -> PracticeSession:
    found = _select(connection, session=session_id)
    if not found:
        raise StoreError(_("there is no such session of practice"), cure=_("Begin one"))
    return found[0]


def _unanswered(session: PracticeSession, position: int) -> PhotoShown:
    if not 0 <= position < len(session.photos):
        raise StoreError(_("the session has no such photo"), cure=_("Load the page again"))
    photo = session.photos[position]
    if photo.answer is not None:
        raise UsageError(
            _("this photo is answered already, and an answer stays"), cure=_("Go on to the next")
        )
    return photo


def _select(
    connection: Connection, *, person: str | None = None, session: int | None = None
) -> tuple[PracticeSession, ...]:
    asked = practice_sessions.c.person == person
    if session is not None:
        asked = practice_sessions.c.id == session
    sessions = connection.execute(
        select(practice_sessions).where(asked).order_by(practice_sessions.c.id)
    ).all()
    views: dict[tuple[int, int], list[datetime]] = {}
    for row in connection.execute(
        select(practice_views)
        .join(practice_sessions, practice_sessions.c.id == practice_views.c.session_id)
        .where(asked)
        .order_by(practice_views.c.id)
    ):
        views.setdefault((row.session_id, row.position), []).append(row.shown_at)
    photos: dict[int, list[PhotoShown]] = {}
    for row in connection.execute(_with_answers().where(asked)):
        drawn = DrawnPhoto(row.photo, row.source, row.truth)
        answer = decision = None
        if row.verdict is not None:
            answer = GivenAnswer(Verdict(row.verdict), row.marks, row.answered_at)
        if row.decision is not None:
            decision = MadeDecision(
                row.decision, row.photos, row.misses, row.clean, row.false_alarms
            )
        shown = tuple(views.get((row.session_id, row.position), ()))
        photos.setdefault(row.session_id, []).append(
            PhotoShown(row.position, drawn, shown, answer, decision)
        )
    return tuple(
        PracticeSession(
            row.id, row.person, row.seed, row.numbers, row.begun_at, tuple(photos.get(row.id, ()))
        )
        for row in sessions
    )


def _with_answers() -> Select[Any]:
    photo, given, made = practice_photos.c, practice_answers.c, practice_decisions.c
    same_answer = and_(given.session_id == photo.session_id, given.position == photo.position)
    same_decision = and_(made.session_id == photo.session_id, made.position == photo.position)
    columns = (
        photo.session_id, photo.position, photo.photo, photo.source, photo.truth,
        given.verdict, given.marks, given.answered_at,
        made.decision, made.photos, made.misses, made.clean, made.false_alarms,
    )  # fmt: skip
    return (
        select(*columns)
        .join(practice_sessions, practice_sessions.c.id == photo.session_id)
        .join(practice_answers, same_answer, isouter=True)
        .join(practice_decisions, same_decision, isouter=True)
        .order_by(photo.session_id, photo.position)
    )
