"""One spike of the gallery, large: photos, verdict, reasons, second reading, decision, history."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import streamlit as st

import resources
from audit_visit import current_audit
from spikecheck.access import Action
from spikecheck.audit import SpikeName
from spikecheck.bookkeeping.entries_seen import by_time, happened_at
from spikecheck.bookkeeping.entry_text import entry_words
from spikecheck.bookkeeping.local_time import local_zone
from spikecheck.bookkeeping.standing import standing_line
from spikecheck.errors import SpikecheckError
from spikecheck.language import _, day_and_time, ngettext, percent
from spikecheck.supervision import decide
from spikecheck.supervision.gallery_choice import hidden_spikes
from spikecheck.vocabulary.audit_steps import AuditDecision, Leftovers, ReadAgain
from spikecheck.vocabulary.words import decision_word, spike_name, verdict_word
from visit import remember
from who import require_here
from widgets.audit_photos import show_photos
from widgets.audit_words import LEFTOVER_WORDS, audit_once, reader_words
from widgets.plain import Tone, faint, heading, notice, show_problems
from widgets.verdict import show_reasons, show_verdict

if TYPE_CHECKING:
    from spikecheck.store import RecordedCheck
    from spikecheck.vocabulary import SpikeRecord
    from spikecheck.vocabulary.audit_steps import LeftoverMark

_OVERLAY = "audit-overlay"


def show_spike(spike: SpikeName) -> None:
    """Show one spike; one that waits for its second reading shows nothing but that."""
    audit, store = current_audit(), resources.store()
    for line in audit.told:
        notice(line, tone=Tone.DONE)
    show_problems(audit.problems)
    record = store.spikes.one(spike.cross, spike.spike)
    name = spike_name(spike.cross, spike.spike)
    heading(name)
    if (spike.cross, spike.spike) in hidden_spikes(resources.gallery().records(record.session)):
        notice(
            _("This spike is drawn. Nothing of it is shown until it is read again."), tone=Tone.HINT
        )
        return
    zone = local_zone()
    st.text(standing_line(record, zone).removeprefix(f"{name}: "))
    if record.check is None:
        notice(_("It was bagged without a check."), tone=Tone.HINT)
    else:
        _show_check(record, store.check(record.check))
    _show_audit(record)
    with st.expander(_("History")):
        for entry in by_time(store.spikes.entries(spike.cross, spike.spike)):
            by = entry.recorded_by if entry.step is None else entry.step.by
            faint(f"{day_and_time(happened_at(entry).astimezone(zone))} · {by}")
            st.text(entry_words(entry))


def _show_check(record: SpikeRecord, check: RecordedCheck) -> None:
    result = json.loads(check.result)
    pictures, told = st.columns([3, 2])
    with told:
        if record.sent_back:
            notice(_("Sent back by an audit: this check holds no more."), tone=Tone.PROBLEM)
        else:
            show_verdict(check.standing_verdict, meaning=False)
        risk = result.get("risk", {}).get("p_leftover")
        known = [_("Checked by {name}").format(name=check.by)]
        if risk is not None:
            known.append(_("Risk of a leftover: {share}").format(share=percent(risk)))
        known += [
            _("{name} set {verdict}: {reason}").format(
                name=one.by, verdict=verdict_word(one.verdict), reason=one.reason
            )
            for one in check.overrides
        ]
        st.text("\n".join(known))
        show_reasons([reason["message"] for reason in result.get("reasons", ())])
    with pictures:
        st.session_state.setdefault(_OVERLAY, True)
        if st.toggle(_("Show the marks"), key=remember(_OVERLAY, True)):
            _show_overlays(check)
        else:
            marking = current_audit().deciding
            marking.turn_to(_name(record), record.check)
            show_photos(check.photos, marking, key="audit-deciding")


def _show_overlays(check: RecordedCheck) -> None:
    columns = st.columns(min(max(len(check.photos), 1), 2))
    for number, photo in enumerate(check.photos):
        with columns[number % len(columns)]:
            try:
                st.image(
                    resources.store().overlay(photo), width="stretch",
                    alt=_("Photo {number} with its marks").format(number=number + 1),
                )  # fmt: skip
            except SpikecheckError as error:
                notice(str(error), tone=Tone.PROBLEM)


def _show_audit(record: SpikeRecord) -> None:
    audit = record.audit
    if audit is None or audit.read_verdict is None or audit.read_leftovers is None:
        return
    st.subheader(_("Second reading"))
    st.text(
        _("{name}: {verdict}, {leftovers}").format(
            name=reader_words(audit), verdict=verdict_word(audit.read_verdict),
            leftovers=_(LEFTOVER_WORDS[audit.read_leftovers]),
        )
    )  # fmt: skip
    if audit.decision is not None:
        st.text(
            _("Decided by {name}: {decision}. {reason}").format(
                name=audit.decided_by, decision=decision_word(audit.decision),
                reason=audit.reason,
            ).strip()
        )  # fmt: skip
    if audit.check == record.check:
        _offer_decision(record)


def _offer_decision(record: SpikeRecord) -> None:
    """Show what can be decided, with what the second reader marked taken over on request."""
    spike = _name(record)
    marking = current_audit().deciding
    marking.turn_to(spike, record.check)
    reason, seen = f"audit-reason-{spike}", current_audit().recorded
    st.text_area(_("Reason; needed to send it back"), key=reason, max_chars=1000, height=80)
    marked = marking.marks or _second_marks(record)
    if marked:
        st.caption(
            ngettext(
                "Marked as left: {count} place. Hide the marks to mark it yourself.",
                "Marked as left: {count} places. Hide the marks to mark them yourself.",
                len(marked),
            ).format(count=len(marked))
        )
    with st.container(horizontal=True):
        st.button(
            _("Confirm: nothing is left"), on_click=_decide, key="audit-confirm",
            args=(seen, record, AuditDecision.CONFIRMED, reason, ()),
        )  # fmt: skip
        st.button(
            _("Send back for a new check"), on_click=_decide, type="primary", key="audit-send-back",
            args=(seen, record, AuditDecision.SENT_BACK, reason, tuple(marked)),
        )  # fmt: skip


def _decide(
    seen: int,
    record: SpikeRecord,
    decision: AuditDecision,
    reason: str,
    marks: tuple[LeftoverMark, ...],
) -> None:
    require_here(Action.AUDIT)
    why = str(st.session_state.get(reason, ""))
    spike, confirmed = _name(record), decision is AuditDecision.CONFIRMED
    said = Leftovers.MARKED if marks else Leftovers.UNSURE

    def work(name: str) -> tuple[str, ...]:
        decide(
            resources.store(), spike, decision, by=name, reason=why,
            leftovers=Leftovers.NONE if confirmed else said, marks=() if confirmed else marks,
            seen=record,
        )  # fmt: skip
        told = _("{spike} is confirmed.") if confirmed else _("{spike} is sent back.")
        return (told.format(spike=spike),)

    audit_once(seen, work)


def _second_marks(record: SpikeRecord) -> tuple[LeftoverMark, ...]:
    """Return what the second reader marked on the check that stands."""
    entries = resources.store().spikes.entries(record.cross, record.spike)
    return next(
        (
            entry.step.detail.marks
            for entry in reversed(entries)
            if entry.step is not None and isinstance(entry.step.detail, ReadAgain)
            and entry.step.detail.check == record.check
        ),
        (),
    )  # fmt: skip


def _name(record: SpikeRecord) -> SpikeName:
    return SpikeName(record.cross, record.spike)
