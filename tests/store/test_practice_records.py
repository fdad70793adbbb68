"""What was practised: kept exactly, an answer for good, apart by person."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from sqlalchemy.exc import IntegrityError

from spikecheck.errors import StoreError, UsageError
from spikecheck.store import open_store
from spikecheck.store.engine import writing
from spikecheck.store.practice_session import DrawnPhoto, GivenAnswer, MadeDecision
from spikecheck.vocabulary import Verdict

if TYPE_CHECKING:
    from spikecheck.store import Store

START = datetime(2026, 5, 3, 8, 0, 0, 123456, tzinfo=UTC)
PHOTOS = (
    DrawnPhoto("a" * 64, "rendered", '{"leftovers": []}'),
    DrawnPhoto("b" * 64, "reviewed", '{"leftovers": [1]}'),
)


def at(seconds: float) -> datetime:
    return START + timedelta(seconds=seconds)


def begin(store: Store, person: str = "Ida") -> int:
    return store.practice.begin(
        person, seed=2**31 - 1, numbers='{"viewing_s": 10}', photos=PHOTOS, at=START
    ).id


def test_everything_comes_back_also_after_opening_again(store: Store, location: str):
    number = begin(store)
    store.practice.show(number, 1, at=at(1))
    store.practice.show(number, 1, at=at(2.5))
    answer = GivenAnswer(Verdict.REVIEW, "[[1.0, 2.5]]", at(20))
    decision = MadeDecision("signed off", 17, 0, 21, 2)
    store.practice.answer(number, 1, answer, decision=decision)
    with open_store(location) as again:
        (session,) = again.practice.of("Ida")
        assert again.verify().faults == ()
    assert (session.person, session.seed, session.begun_at) == ("Ida", 2**31 - 1, START)
    assert session.numbers == '{"viewing_s": 10}'
    first, second = session.photos
    assert (first.drawn, first.shown_at, first.answer) == (PHOTOS[0], (), None)
    assert (second.drawn, second.shown_at) == (PHOTOS[1], (at(1), at(2.5)))
    assert (second.answer, second.decision) == (answer, decision)


def test_an_answer_stays(store: Store):
    number = begin(store)
    store.practice.show(number, 0, at=at(0))
    first = GivenAnswer(Verdict.PASS, "[]", at(10))
    store.practice.answer(number, 0, first)
    for again in (
        lambda: store.practice.answer(number, 0, GivenAnswer(Verdict.REVIEW, "[]", at(11))),
        lambda: store.practice.show(number, 0, at=at(12)),
    ):
        with pytest.raises(UsageError, match="answered already"):
            again()
    (session,) = store.practice.of("Ida")
    assert session.photos[0].answer == first
    assert len(session.photos[0].shown_at) == 1


def test_what_was_not_shown_has_no_answer(store: Store):
    number = begin(store)
    with pytest.raises(UsageError, match="not shown yet"):
        store.practice.answer(number, 0, GivenAnswer(Verdict.PASS, "[]", at(1)))
    for session, position in ((number, 2), (number, -1), (number + 1, 0)):
        with pytest.raises(StoreError, match="no such"):
            store.practice.show(session, position, at=at(0))


def test_each_person_has_sessions_of_their_own(store: Store):
    begin(store, "Ida")
    begin(store, "  Bo ")
    begin(store, "Ida")
    assert store.practice.people() == ("Bo", "Ida")
    assert [one.person for one in store.practice.of("Ida")] == ["Ida", "Ida"]
    assert len(store.practice.of("Bo")) == 1
    assert store.practice.of("Cy") == ()
    with pytest.raises(UsageError, match="who practises"):
        begin(store, " ")


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT INTO practice_photos VALUES (1, 2, 'x', 'guessed', '')",
        "INSERT INTO practice_photos VALUES (9, 0, 'x', 'rendered', '')",
        "INSERT INTO practice_answers VALUES (1, 7, 'pass', '[]', '2026-05-03 08:00:00')",
        "INSERT INTO practice_decisions VALUES (1, 0, 'signed off', 17, 0, 1, 0)",
        "DELETE FROM practice_sessions",
    ],
)
def test_database_itself_refuses_what_must_not_be(store: Store, statement: str):
    begin(store)
    with pytest.raises(IntegrityError), writing(store._database.engine) as connection:
        connection.exec_driver_sql(statement)
