"""What the sample says: passes or not, how far the readers agree, and each spike's decision."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from audit_visit import Part, current_audit
from spikecheck.access import Action
from spikecheck.audit.spikes import name_of
from spikecheck.language import _, ngettext
from spikecheck.supervision import confirm_all, confirmable, session_audit
from spikecheck.supervision.gallery_choice import disagree
from spikecheck.supervision.sample import SampleResult
from spikecheck.vocabulary import Verdict
from spikecheck.vocabulary.words import decision_word, spike_name, verdict_word
from who import current_person, require_here
from widgets.audit_labels import show_labels
from widgets.audit_lead import lead_to_sample
from widgets.audit_words import audit_once, reader_words
from widgets.plain import Tone, faint, notice
from widgets.tables import show_table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.audit import Agreement, SpikeName
    from spikecheck.supervision import SessionAudit
    from spikecheck.vocabulary import SpikeRecord

_TONES = {
    SampleResult.OPEN: Tone.HINT,
    SampleResult.PASSES: Tone.DONE,
    SampleResult.FAILS: Tone.PROBLEM,
}


def show_result(session: str) -> None:
    """Show the result so far."""
    audit = session_audit(resources.store(), session)
    sample = audit.sample
    if sample is None:
        lead_to_sample()
        return
    notice(sample.sentence, tone=_TONES[sample.result])
    known = {name_of(record): record for record in audit.spikes}
    drawn = [known[name] for name in sample.drawn]
    _confirm_agreed(session, drawn)
    _show_agreement(audit)
    _show_spikes(drawn)
    show_labels(session)


def _confirm_agreed(session: str, drawn: Sequence[SpikeRecord]) -> None:
    """Offer to confirm at once what both readers passed; the others are looked at one by one."""
    agreed = confirmable(drawn, current_person().name)
    own = len(confirmable(drawn, "")) - len(agreed)
    if own:
        told = ngettext(
            "Both readers passed {count} spike that you checked or set the verdict of: another "
            "person has to confirm it.",
            "Both readers passed {count} spikes that you checked or set the verdict of: another "
            "person has to confirm them.", own,
        )  # fmt: skip
        faint(told.format(count=own))
    if not agreed:
        return

    seen = current_audit().recorded

    def confirm() -> None:
        require_here(Action.AUDIT)

        def work(name: str) -> tuple[str, ...]:
            confirm_all(resources.store(), agreed, by=name)
            told = ngettext(
                "{count} spike is confirmed.", "{count} spikes are confirmed.", len(agreed)
            )
            return (told.format(count=len(agreed)),)

        audit_once(seen, work)

    words = ngettext(
        "Confirm the {count} spike that both readers passed",
        "Confirm the {count} spikes that both readers passed", len(agreed),
    )  # fmt: skip
    st.button(
        words.format(count=len(agreed)),
        on_click=confirm, type="primary", width="stretch", key=f"audit-confirm-{session}",
    )  # fmt: skip


def _show_agreement(audit: SessionAudit) -> None:
    if audit.not_blind:
        notice(audit.not_blind_sentence, tone=Tone.HINT)
    if audit.agreement is None:
        return
    st.subheader(_("How far the readers agree"))
    for words, agreement in (
        (_("Second reader and the verdict that stood"), audit.agreement),
        (_("Second reader and the verdict as computed"), audit.agreement_computed),
    ):
        if agreement is not None:
            st.text(words)
            _show_one_agreement(agreement)


def _show_one_agreement(agreement: Agreement) -> None:
    st.text(agreement.sentence)
    if agreement.caution:
        notice(agreement.caution, tone=Tone.HINT)
    if agreement.ac1_line:
        faint(agreement.ac1_line)


def _show_spikes(drawn: Sequence[SpikeRecord]) -> None:
    """Show what waits for a decision as buttons, and all that is read as a table."""
    waiting = [
        one for one in drawn
        if one.audit is not None and one.audit.is_undecided
        and (
            disagree(one) or one.audit.read_verdict is not Verdict.PASS or not one.audit.read_blind
        )
    ]  # fmt: skip
    if waiting:
        st.subheader(_("Waiting for your decision"))
        for record in waiting:
            name, shown = name_of(record), spike_name(record.cross, record.spike)
            with st.container(border=True, horizontal=True, vertical_alignment="center"):
                st.text(f"{shown}  ·  {_both(record)}", width="stretch")
                st.button(_("Look and decide"), key=f"audit-decide-{name}", on_click=_look,
                          args=(name,))  # fmt: skip
    read = [one for one in drawn if one.audit is not None and one.audit.is_read]
    if read:
        with st.expander(_("Every spike of the sample that is read")):
            show_table(
                _("Sample"),
                (_("spike"), _("readings"), _("second reader"), _("decision"), _("reason")),
                (
                    (
                        spike_name(one.cross, one.spike), _both(one), reader_words(one.audit),
                        "" if one.audit.decision is None else decision_word(one.audit.decision),
                        one.audit.reason,
                    )
                    for one in read if one.audit is not None
                ),
            )  # fmt: skip


def _both(record: SpikeRecord) -> str:
    audit = record.audit
    if audit is None or audit.read_verdict is None:
        return ""
    first = _("not checked") if audit.first_verdict is None else verdict_word(audit.first_verdict)
    return _("first reading {first}, second reading {second}").format(
        first=first, second=verdict_word(audit.read_verdict)
    )


def _look(spike: SpikeName) -> None:
    require_here(Action.AUDIT)
    audit = current_audit()
    audit.go_to(Part.GALLERY)
    audit.opened = spike
