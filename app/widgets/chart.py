"""Shows a chart, and its values for those who cannot see it."""

from __future__ import annotations

from base64 import b64encode
from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.charts import svg, values
from spikecheck.language import _
from widgets.tables import show_table

if TYPE_CHECKING:
    from spikecheck.charts import Chart

_WIDEST_REM = 36


def show_chart(chart: Chart) -> None:
    """Show a chart as wide as there is room, told in words, with its values to be opened below."""
    # The page drops SVG elements from HTML, but not pictures that are made of them.
    source = "data:image/svg+xml;base64," + b64encode(svg(chart).encode()).decode()
    told = " ".join(f"{chart.title}. {chart.told}".split())
    st.html(
        f'<img src="{source}" alt="{escape(told)}" '
        f'style="width:100%;max-width:{_WIDEST_REM}rem;height:auto;display:block">'
    )
    with st.expander(_("Values of this chart")):
        table = values(chart)
        show_table(told, table.head, table.rows)
