"""Overrides follow what they override, so that their order of writing is their order of time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import count
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from spikecheck.errors import StepError
from spikecheck.vocabulary import Verdict
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import NewCheck, Store

AGO = datetime.now(UTC).replace(microsecond=0) - timedelta(days=10)
VERDICTS = st.sampled_from(Verdict)
# Few minutes, so that some are the same; None is now.
MINUTES = st.none() | st.integers(0, 4)
CHECKS = st.tuples(st.just(None), VERDICTS, MINUTES)
OVERRIDES = st.tuples(st.integers(0, 3), VERDICTS, MINUTES)


def at(minutes: float | None) -> datetime | None:
    return None if minutes is None else AGO + timedelta(minutes=minutes)


@pytest.fixture
def store_with_cross(store: Store) -> Store:
    store.plans.add(planned("C-1", "Ferra", "Olmo"))
    return store


@pytest.mark.parametrize(
    ("minutes", "told"), [(2.5, "it was checked at"), (4.5, "it was overridden at")]
)
def test_override_before_what_it_overrides_is_refused(
    store_with_cross: Store, make_check: Callable[..., NewCheck], minutes: float, told: str
):
    store = store_with_cross
    check = store.add_check(make_check(), cross="C-1", spike=1, by="Ida", at=at(3))
    if minutes > 3:
        store.override(check.id, "Bo", "palea", at=at(5))
    before = store.check(check.id), store.spikes.entries("C-1", 1)
    with pytest.raises(StepError, match=rf"check {check.id}: cannot be overridden at .* {told}"):
        store.override(check.id, "Bo", "again", Verdict.REVIEW, at=at(minutes))
    assert (store.check(check.id), store.spikes.entries("C-1", 1)) == before


def test_override_at_the_moment_of_the_check_is_after_it(
    store_with_cross: Store, make_check: Callable[..., NewCheck]
):
    store = store_with_cross
    check = store.add_check(make_check(), cross="C-1", spike=1, by="Ida", at=at(3))
    store.override(check.id, "Bo", "palea", at=at(3))
    store.override(check.id, "Ida", "not so sure", Verdict.REVIEW, at=at(3))
    assert store.spikes.one("C-1", 1).verdict is Verdict.REVIEW
    assert store.check(check.id).standing_verdict is Verdict.REVIEW


def test_override_of_an_older_check_leaves_the_spike_as_it_stands(
    store_with_cross: Store, make_check: Callable[..., NewCheck]
):
    store = store_with_cross
    older = store.add_check(make_check(), cross="C-1", spike=1, by="Ida", at=at(1))
    newer = store.add_check(make_check(), cross="C-1", spike=1, by="Ida", at=at(2))
    store.override(older.id, "Bo", "palea")
    record = store.spikes.one("C-1", 1)
    assert (record.check, record.verdict, record.overridden) == (newer.id, Verdict.REVIEW, False)
    assert [one.standing_verdict for one in store.checks("C-1")] == [Verdict.REVIEW, Verdict.PASS]
    (summary,) = store.crosses()
    assert (summary.spikes, summary.passed, summary.review) == (1, 0, 1)


def test_photos_taken_before_but_filed_later_do_not_stand(
    store_with_cross: Store, make_check: Callable[..., NewCheck]
):
    store = store_with_cross
    newer = store.add_check(make_check(), cross="C-1", spike=1, by="Ida", at=at(2))
    store.add_check(make_check(Verdict.PASS), cross="C-1", spike=1, by="Ida", at=at(1))
    assert store.spikes.one("C-1", 1).check == newer.id
    (summary,) = store.crosses()
    assert (summary.passed, summary.review) == (0, 1)


def test_every_view_of_a_spike_tells_the_same_verdict(
    store_with_cross: Store, make_check: Callable[..., NewCheck]
):
    store = store_with_cross
    numbers = count(1)

    @given(happened=st.lists(CHECKS | OVERRIDES, min_size=1, max_size=8))
    @settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
    def agree(happened: list[tuple[int | None, Verdict, int | None]]) -> None:
        spike, checks = next(numbers), list[int]()
        for which, verdict, minutes in happened:
            if which is None:
                check = make_check(verdict)
                filed = store.add_check(check, cross="C-1", spike=spike, by="Ida", at=at(minutes))
                checks.append(filed.id)
            elif which < len(checks):
                try:
                    store.override(checks[which], "Bo", "palea", verdict, at=at(minutes))
                except StepError:
                    assert minutes is not None  # now is never too early
        if not checks:
            return
        record = store.spikes.one("C-1", spike)
        assert record.check is not None
        latest = store.check(record.check)
        assert latest.standing_verdict is record.verdict
        assert latest.verdict is record.computed_verdict
        assert bool(latest.overrides) is record.overridden

    agree()
    records = store.spikes.of_cross("C-1")
    passed = sum(record.verdict is Verdict.PASS for record in records)
    (summary,) = store.crosses()
    assert (summary.spikes, summary.passed) == (len(records), passed)
    assert store.verify().faults == ()
