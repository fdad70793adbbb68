"""A session at a glance: spikes, verdicts, who did what, which verdicts people set."""

from __future__ import annotations

import streamlit as st

import resources
from audit_visit import Part, current_audit
from spikecheck.bookkeeping.local_time import local_zone
from spikecheck.language import _, day_and_time, pgettext
from spikecheck.supervision import session_audit
from spikecheck.vocabulary.words import spike_name, verdict_word
from widgets.audit_lead import lead
from widgets.plain import Tone, notice
from widgets.tables import show_figures, show_table


def show_overview(session: str) -> None:
    """Show the overview, and lead to what comes next."""
    audit = session_audit(resources.store(), session)
    counts = audit.counts
    if not counts.spikes:
        notice(_("No spike was emasculated in this session."), tone=Tone.HINT)
        return
    # While somebody reads this, the first page of the gallery gets ready.
    first = resources.gallery().photos_ahead(session, current_audit().choice, 0)
    resources.thumbnails().prepare(first)
    show_figures(
        (words, str(number))
        for words, number in (
            (_("spikes"), counts.spikes),
            (_("pass"), counts.passed),
            (_("review"), counts.review),
            (_("not checked"), counts.unchecked),
            (_("set by a person"), counts.overridden),
            (_("in their bags"), counts.bagged),
            (pgettext("count of spikes", "sent back"), counts.sent_back),
        )
    )
    if audit.sample is None:
        notice(_("No sample is drawn yet."), tone=Tone.HINT)
        lead(_("Draw a sample"), Part.SAMPLE)
    else:
        notice(audit.sample.sentence, tone=Tone.HINT)
        if audit.sample.unread:
            lead(_("Read the sample"), Part.READING)
        else:
            lead(_("See the result"), Part.RESULT)
    st.subheader(_("Who did what"))
    show_table(
        _("Who did what"),
        (
            _("name"),
            pgettext("count of spikes", "emasculated"),
            pgettext("count of spikes", "checked"),
            _("verdicts set by hand"),
        ),
        (
            (one.name, str(one.emasculated), str(one.checked), str(one.overridden))
            for one in audit.people
        ),
    )
    if audit.overrides:
        st.subheader(_("Verdicts set by hand"))
        zone = local_zone()
        hidden = set(audit.sample.unread) if audit.sample is not None else set()
        if any(one.spike in hidden for one in audit.overrides):
            st.caption(_("Spikes that wait for a second reading are left out."))
        show_table(
            _("Verdicts set by hand"),
            (_("spike"), _("verdict"), _("who"), _("when"), _("reason")),
            (
                (
                    spike_name(one.spike.cross, one.spike.spike),
                    verdict_word(one.override.verdict), one.override.by,
                    day_and_time(one.override.at.astimezone(zone)),
                    one.override.reason,
                )
                for one in audit.overrides
                if one.spike not in hidden
            ),
        )  # fmt: skip
