"""Shows text that people or files supplied exactly as it is, never as markup.

Streamlit reads most texts as Markdown (labels, captions and alerts too), so whatever is not the
app's own wording goes through here or through ``st.text``.
"""

from __future__ import annotations

import re
from enum import Enum
from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.language import goes_right_to_left
from widgets.style import ALARM, CALM, FAINT, QUIET

if TYPE_CHECKING:
    from collections.abc import Iterable


class Tone(Enum):
    """How a notice is meant: its sign, the colour of its edge, its role for a screen reader."""

    PROBLEM = ("\N{MULTIPLICATION X}", ALARM, "alert")
    DONE = ("\N{CHECK MARK}", CALM, "status")
    HINT = ("\N{RIGHTWARDS ARROW}", QUIET, "status")


_KEPT = '<span style="display:inline-block;max-width:100%">{}</span>'
# Browsers break a line after a hyphen or a slash; an id such as C-014/3 is read as one word.
_IN_ONE = re.compile(r"\S*\w[-/]\w\S*")


def literal(text: str) -> str:
    """Return ``text`` as HTML that shows it literally, ids and days in one piece where they fit."""
    if goes_right_to_left(text):  # parts would be put in the order of the page's language
        return escape(text)
    parts, end = [], 0
    for word in _IN_ONE.finditer(text):
        parts += [escape(text[end : word.start()]), _KEPT.format(escape(word.group()))]
        end = word.end()
    return "".join([*parts, escape(text[end:])])


def notice(text: str, *, tone: Tone) -> None:
    """Show one notice with a sign and a coloured edge; ``text`` is shown literally."""
    sign, colour, role = tone.value
    st.html(
        f'<div role="{role}" style="border-left:0.4rem solid {colour};padding:0.5rem 0.8rem;'
        f'background:{colour}14;overflow-wrap:anywhere">'
        f'<strong style="color:{colour}">{sign}</strong> {literal(text)}</div>'
    )


def heading(text: str) -> None:
    """Show ``text`` literally as the heading of a screen."""
    st.html(
        '<h2 style="margin:0;font-size:2rem;padding:0.5rem 0;overflow-wrap:anywhere">'
        f"{literal(text)}</h2>"
    )


def strong(text: str) -> None:
    """Show ``text`` literally, in bold."""
    st.html(f'<strong style="overflow-wrap:anywhere">{literal(text)}</strong>')


def faint(text: str) -> None:
    """Show ``text`` literally, small: what is good to know but nothing to act on."""
    st.html(
        f'<small style="display:block;opacity:{FAINT};line-height:1.4;overflow-wrap:anywhere">'
        f"{literal(text)}</small>"
    )


def show_problems(problems: Iterable[str]) -> None:
    """Show what went wrong, one line each."""
    for problem in problems:
        notice(problem, tone=Tone.PROBLEM)
