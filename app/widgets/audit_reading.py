"""The second reading: photos of drawn spikes, and nothing of what was said of them before."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from audit_visit import Part, current_audit
from spikecheck.access import Action
from spikecheck.audit.spikes import name_of
from spikecheck.language import _
from spikecheck.supervision import read_again, waiting_to_be_read
from spikecheck.supervision.marks import latest_photos
from spikecheck.supervision.sample import latest_sample
from spikecheck.vocabulary.audit_steps import Leftovers
from spikecheck.vocabulary.words import spike_name
from who import current_person, require_here
from widgets.audit_lead import lead, lead_to_sample
from widgets.audit_photos import show_photos
from widgets.audit_words import audit_once
from widgets.cover import has_looked
from widgets.plain import Tone, notice, strong

if TYPE_CHECKING:
    from spikecheck.audit import SpikeName
    from spikecheck.vocabulary import SpikeRecord

_NOTE = "audit-reading-note"


def show_reading(session: str) -> None:
    """Show the next spike to be read, or why there is none."""
    records = resources.gallery().records(session)
    sample = latest_sample(records)
    if sample is None:
        lead_to_sample()
        return
    reader = current_person().name
    if not reader:
        notice(_("Give your name above before you read."), tone=Tone.HINT)
        return
    waiting = waiting_to_be_read(records, reader)
    st.progress(
        sample.read / len(sample.drawn),
        text=_("{read} of {total} read").format(read=sample.read, total=len(sample.drawn)),
    )
    if not waiting:
        if sample.unread:
            notice(
                _("What is left was checked or decided by yourself: another person must read it."),
                tone=Tone.HINT,
            )
        else:
            notice(_("Every spike of the sample is read."), tone=Tone.DONE)
            lead(_("See the result"), Part.RESULT)
        return
    _show_spike(waiting[0])


def _show_spike(spike: SpikeName) -> None:
    store, marking = resources.store(), current_audit().reading
    record = store.spikes.one(spike.cross, spike.spike)
    marking.turn_to(spike, record.check)
    strong(spike_name(spike.cross, spike.spike))
    if has_looked(record):
        notice(
            _("You have seen its first verdict: your reading is recorded as not blind."),
            tone=Tone.HINT,
        )
    photos = latest_photos(store, record)
    if photos:
        beside = show_photos(photos, marking, key="audit-reading")
    else:
        beside = st.container()
        notice(_("No photo is filed: open the bag and look at the spike itself."), tone=Tone.HINT)
    st.session_state.setdefault(_NOTE, "")
    with beside:
        if marking.marks:
            _answer(record, Leftovers.MARKED, _("Review: left where I marked"), primary=True)
        else:
            _answer(record, Leftovers.NONE, _("Pass: nothing is left"), primary=True)
        _answer(record, Leftovers.UNSURE, _("Review: I am not sure"), primary=False)
        with st.expander(_("Add a note")):
            st.text_area(_("Note; it stays beside the reading"), key=_NOTE, max_chars=1000)


def _answer(record: SpikeRecord, leftovers: Leftovers, words: str, *, primary: bool) -> None:
    keys = {Leftovers.NONE: "P", Leftovers.UNSURE: "U"}
    st.button(
        words,
        key=f"audit-answer-{leftovers}",
        on_click=_record,
        args=(record, leftovers, current_audit().recorded),
        type="primary" if primary else "secondary",
        width="stretch",
        shortcut=keys.get(leftovers),
    )


def _record(record: SpikeRecord, leftovers: Leftovers, seen: int) -> None:
    require_here(Action.AUDIT)
    marking = current_audit().reading
    note = str(st.session_state.get(_NOTE, ""))

    def work(reader: str) -> tuple[str, ...]:
        marks = marking.marks if leftovers is Leftovers.MARKED else ()
        read_again(
            resources.store(), name_of(record), leftovers, marks=tuple(marks), by=reader,
            note=note, blind=not has_looked(record), seen=record,
        )  # fmt: skip
        marking.spike, marking.marks = None, []
        st.session_state[_NOTE] = ""
        return ()

    audit_once(seen, work)
