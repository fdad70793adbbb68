"""Small tables and figures of words and numbers, shown literally."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from widgets.plain import literal

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


def show_table(name: str, head: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Show a table whose first column names each row; it scrolls sideways where it is too wide."""
    top = "".join(f'<th scope="col">{escape(one)}</th>' for one in head)
    body = "".join(
        f'<tr><th scope="row">{literal(first)}</th>'
        + "".join(f"<td>{literal(cell)}</td>" for cell in cells)
        + "</tr>"
        for first, *cells in rows
    )
    st.html(
        f'<div class="shown-table" tabindex="0" role="region" aria-label="{escape(name)}">'
        f"<table><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def show_figures(figures: Iterable[tuple[str, str]]) -> None:
    """Show numbers, large, each with what it counts."""
    told = "".join(
        f"<div><dt>{escape(words)}</dt><dd>{escape(number)}</dd></div>" for words, number in figures
    )
    st.html(f'<dl class="audit-figures">{told}</dl>')
