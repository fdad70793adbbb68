"""Whose eyes a first reading is covered from, and what follows from looking all the same."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.supervision import confirmable, decide, read_again, session_audit
from spikecheck.supervision.audit_text import audit_lines
from spikecheck.supervision.covering import Lookers, is_to_be_covered
from spikecheck.vocabulary.audit_steps import AuditDecision, Leftovers
from tests.audited_session import SESSION
from tests.supervision.test_session_audit import UTC_ZONE

if TYPE_CHECKING:
    from spikecheck.audit import SpikeName
    from spikecheck.store import Store


def test_a_spike_is_covered_from_draw_to_second_reading(store: Store, drawn: tuple[SpikeName, ...]):
    name = drawn[0]
    others = [one for one in store.spikes.in_session(SESSION) if one.audit is None]
    assert not any(is_to_be_covered(one, "Gro") for one in others)
    record = store.spikes.one(name.cross, name.spike)
    assert is_to_be_covered(record, "Gro")
    assert is_to_be_covered(record, "")
    assert not is_to_be_covered(record, f" {record.checked_by.upper()} ")
    assert not is_to_be_covered(read_again(store, name, Leftovers.NONE, by="Gro"), "Mia")


def test_a_look_is_by_one_person_at_one_check(store: Store, drawn: tuple[SpikeName, ...]):
    first, second = (store.spikes.one(name.cross, name.spike) for name in drawn[:2])
    lookers = Lookers()
    lookers.look(" Gro", [first])
    assert lookers.looked("GRO ", first)
    assert not lookers.looked("Gro", second)
    assert not lookers.looked("Mia", first)


def test_a_reading_that_was_not_blind_counts_but_is_compared_with_nothing(
    store: Store, drawn: tuple[SpikeName, ...]
):
    for name in drawn:
        read_again(store, name, Leftovers.NONE, by="Gro", blind=name != drawn[0])
    audit = session_audit(store, SESSION)
    assert audit.sample is not None
    assert audit.sample.read == len(drawn)
    assert audit.not_blind == 1
    for agreement in (audit.agreement, audit.agreement_computed):
        assert agreement is not None
        assert agreement.spikes == len(drawn) - 1
    lines = list(audit_lines(audit, (), UTC_ZONE, {}))
    assert any(line.startswith("1 second reading was not blind") for line in lines)
    offered = {(one.cross, one.spike) for one in confirmable(audit.spikes, "Pia")}
    assert (drawn[0].cross, drawn[0].spike) not in offered
    decide(store, drawn[0], AuditDecision.CONFIRMED, by="Pia", leftovers=Leftovers.NONE)
    assert not store.verify().faults
