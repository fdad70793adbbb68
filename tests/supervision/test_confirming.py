"""Decisions by several people at once: none is made over another one unseen."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from spikecheck.audit import SamplingPlan
from spikecheck.errors import StepError
from spikecheck.supervision import (
    confirm_all,
    confirmable,
    decide,
    draw_session,
    read_again,
    session_audit,
)
from spikecheck.vocabulary.audit_steps import AuditDecision, Leftovers
from tests.audited_session import PEOPLE, SESSION

if TYPE_CHECKING:
    from spikecheck.audit import SpikeName
    from spikecheck.store import Store


def read_all(store: Store, names: tuple[SpikeName, ...]) -> None:
    for name in names:
        read_again(store, name, Leftovers.NONE, by="Gro")


def test_a_decision_is_not_made_over_one_that_was_not_seen(
    store: Store, drawn: tuple[SpikeName, ...]
):
    read_all(store, drawn)
    name = drawn[0]
    seen = store.spikes.one(name.cross, name.spike)
    decide(store, name, AuditDecision.SENT_BACK, by="Gro", reason="a tip", seen=seen)
    with pytest.raises(StepError, match="since this was opened"):
        decide(store, name, AuditDecision.CONFIRMED, by="Pia", seen=seen)
    assert store.spikes.one(name.cross, name.spike).sent_back
    now = store.spikes.one(name.cross, name.spike)
    decide(store, name, AuditDecision.CONFIRMED, by="Pia", seen=now)
    assert not store.spikes.one(name.cross, name.spike).sent_back


def test_all_are_confirmed_or_none(store: Store, drawn: tuple[SpikeName, ...]):
    read_all(store, drawn)
    seen = confirmable(store.spikes.in_session(SESSION), "Pia")
    assert len(seen) == len(drawn)
    decide(store, drawn[-1], AuditDecision.SENT_BACK, by="Gro", reason="a tip")
    with pytest.raises(StepError, match="since this was opened"):
        confirm_all(store, seen, by="Pia")
    left = confirmable(store.spikes.in_session(SESSION), "Pia")
    assert len(left) == len(drawn) - 1
    confirm_all(store, left, by="Pia")
    sample = session_audit(store, SESSION).sample
    assert sample is not None
    assert sample.finished
    assert sample.bad == (drawn[-1],)


def test_nobody_confirms_their_own_check_or_verdict(store: Store):
    lot = session_audit(store, SESSION).lot
    drawn = draw_session(store, SESSION, SamplingPlan(lot, lot, 0), by="Gro").drawn
    read_all(store, drawn)
    records = store.spikes.in_session(SESSION)
    for person in PEOPLE:
        offered = confirmable(records, person.upper())
        assert 0 < len(offered) < len(confirmable(records, "")) == lot
        assert not [one for one in offered if person in {one.checked_by, one.overridden_by}]
    own = next(one for one in records if one.overridden_by == "Rut" and one.checked_by != "Rut")
    with pytest.raises(StepError, match="overridden by Rut"):
        confirm_all(store, [own], by="Rut")
    name = next(one for one in drawn if (one.cross, one.spike) == (own.cross, own.spike))
    decide(store, name, AuditDecision.SENT_BACK, by="Rut", reason="on a second thought")
    assert store.spikes.one(own.cross, own.spike).sent_back


def test_what_was_read_as_review_is_not_confirmed_unseen(
    store: Store, drawn: tuple[SpikeName, ...]
):
    read_again(store, drawn[0], Leftovers.UNSURE, by="Gro")
    assert confirmable(store.spikes.in_session(SESSION), "Pia") == ()
