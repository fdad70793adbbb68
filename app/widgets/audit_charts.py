"""Control charts of second looks, over all sessions that were audited."""

from __future__ import annotations

import streamlit as st

import resources
from spikecheck.bookkeeping.local_time import local_zone
from spikecheck.language import _
from spikecheck.supervision.charts import day_chart, running_charts, technician_chart
from spikecheck.supervision.session_audit import earlier_looks, inspections
from widgets.chart import show_chart
from widgets.plain import Tone, notice


def show_charts(_session: str) -> None:
    """Show shares of bad spikes by technician and by day, and running sums."""
    store = resources.store()
    looked = inspections(store.spikes.audited(), local_zone(), earlier_looks(store))
    if not looked:
        notice(_("No spike was read a second time yet."), tone=Tone.HINT)
        return
    st.text(
        _("{bad} of {count} second readings found a spike bad, over all sessions.").format(
            bad=sum(one.bad for one in looked), count=len(looked)
        )
    )
    for chart in (technician_chart(looked), day_chart(looked), *running_charts(looked)):
        if chart is not None:
            show_chart(chart)
