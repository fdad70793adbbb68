"""Two people at the same session: one draws, reads, decides; the other is told what stands."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from spikecheck.audit import SamplingPlan, SpikeName
from spikecheck.errors import StepError
from spikecheck.supervision import decide, draw_session, read_again, session_audit
from spikecheck.vocabulary.audit_steps import AuditDecision, Leftovers
from tests.audited_session import SESSION, check_anew
from tests.store.together import run_together

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import Store
    from spikecheck.vocabulary import SpikeRecord

_PROGRAM = Path(__file__).with_name("auditor_process.py")
_BOTH = ("Gro", "Mo")


def together(store: Store, task: str, spike: SpikeName) -> tuple[str, str]:
    """Let two programs do the same at the same moment; return who was first and what was said."""
    told = run_together(
        _PROGRAM, _BOTH,
        lambda name: (store.location, task, name, SESSION, spike.cross, spike.spike),
    )  # fmt: skip
    (first,) = [name for name in _BOTH if not told[name]]
    (refusal,) = filter(None, told.values())
    return first, refusal


def test_of_two_at_the_same_instant_the_second_is_refused(store: Store):
    first, refusal = together(store, "draw", SpikeName("none", 1))
    assert f"has a sample, drawn by {first} on " in refusal
    sample = session_audit(store, SESSION).sample
    assert sample is not None
    assert (len(sample.drawn), sample.drawn_by) == (6, first)
    assert len(store.spikes.audited()) == 6

    name = sample.drawn[0]
    first, refusal = together(store, "read", name)
    assert f"was read again already, by {first}, on " in refusal
    assert _audit(store, name).read_by == first

    first, refusal = together(store, "decide", name)
    assert f"was sent back by {first} on " in refusal
    audit = _audit(store, name)
    assert (audit.decided_by, audit.reason) == (first, f"so says {first}")
    assert not store.verify().faults


def test_a_decision_nobody_looked_at_stands_unless_it_is_decided_anew(
    store: Store, drawn: tuple[SpikeName, ...]
):
    name = drawn[0]
    read_again(store, name, Leftovers.UNSURE, by="Gro")
    decide(store, name, AuditDecision.SENT_BACK, by="Gro", reason="a tip")
    with pytest.raises(StepError, match=r"was sent back by Gro on .*decide anew"):
        decide(store, name, AuditDecision.CONFIRMED, by="Mo")
    assert _audit(store, name).decided_by == "Gro"
    decide(store, name, AuditDecision.CONFIRMED, by="Mo", anew=True)
    assert _audit(store, name).decided_by == "Mo"


@pytest.mark.parametrize("anew", [False, True])
def test_what_is_written_between_look_and_decision_is_told(
    store: Store, drawn: tuple[SpikeName, ...], monkeypatch: pytest.MonkeyPatch, *, anew: bool
):
    name = drawn[0]
    read_again(store, name, Leftovers.UNSURE, by="Gro")
    _in_between(
        store, monkeypatch,
        lambda: decide(store, name, AuditDecision.SENT_BACK, by="Gro", reason="a tip"),
    )  # fmt: skip
    with pytest.raises(StepError, match=r"was sent back by Gro on .*, since this was opened"):
        decide(store, name, AuditDecision.CONFIRMED, by="Mo", anew=anew)
    assert _audit(store, name).decided_by == "Gro"


def test_a_reading_of_photos_that_another_check_replaced_is_refused(
    store: Store, drawn: tuple[SpikeName, ...]
):
    name = drawn[0]
    seen = store.spikes.one(name.cross, name.spike)
    check_anew(store, name.cross, name.spike, by="Hal")
    with pytest.raises(StepError, match="was checked anew by Hal"):
        read_again(store, name, Leftovers.NONE, by="Gro", seen=seen)
    assert _audit(store, name).read_at is None
    seen = store.spikes.one(name.cross, name.spike)
    record = read_again(store, name, Leftovers.NONE, by="Gro", seen=seen)
    assert _audit(store, name).check == record.check == seen.check


def test_a_sample_drawn_between_look_and_draw_is_told(
    store: Store, monkeypatch: pytest.MonkeyPatch
):
    plan = SamplingPlan(session_audit(store, SESSION).lot, 3, 0)
    _in_between(store, monkeypatch, lambda: draw_session(store, SESSION, plan, by="Gro"))
    with pytest.raises(StepError, match="has a sample, drawn by Gro on "):
        draw_session(store, SESSION, plan, by="Mo")
    assert len(store.spikes.audited()) == 3


def _in_between(
    store: Store, monkeypatch: pytest.MonkeyPatch, other: Callable[[], object]
) -> None:  # fmt: skip
    """Let ``other`` write just before the next writer gets hold of the records."""
    kind = type(store.spikes)
    write = kind.add_as_it_stands

    def late(self: object, choose: object) -> tuple[SpikeRecord, ...]:
        monkeypatch.setattr(kind, "add_as_it_stands", write)
        other()
        return write(self, choose)  # type: ignore[arg-type]

    monkeypatch.setattr(kind, "add_as_it_stands", late)


def _audit(store: Store, name: SpikeName):
    audit = store.spikes.one(name.cross, name.spike).audit
    assert audit is not None
    return audit
