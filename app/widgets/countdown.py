"""A line that counts seconds down by itself: the browser does it, and no run of the page."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import streamlit as st

from widgets.plain import Tone, literal, notice
from widgets.style import SHOWN_FOR

if TYPE_CHECKING:
    from collections.abc import Callable


def show_countdown(left_s: float, waiting: Callable[[int], str], over: str) -> None:
    """Show what is waited for, second by second, and then that the wait is over.

    It tells only; whether the time is over is for the server to decide. Where the browser's count
    starts late, by the way of the page to it, it ends late.

    Parameters
    ----------
    left_s
        How long it takes from now on, seconds; 0 or less is over.
    waiting
        Returns the line while so many seconds are left.
    over
        The line afterwards.
    """
    if left_s <= 0:
        notice(over, tone=Tone.HINT)
        return
    lines, shown_s = [], 0.0
    for whole in range(math.ceil(left_s), 0, -1):
        ends_s = left_s - (whole - 1)
        lines.append(_line(waiting(whole), shown_s, f"{ends_s - shown_s:.3f}s"))
        shown_s = ends_s
    lines.append(_line(over, shown_s, "1s", after="forwards"))
    _sign, colour, role = Tone.HINT.value
    st.html(
        f'<div role="{role}" style="border-left:0.4rem solid {colour};padding:0.5rem 0.8rem;'
        f'background:{colour}14;display:grid">{"".join(lines)}</div>'
    )


def _line(text: str, begins_s: float, lasts: str, *, after: str = "") -> str:
    sign, colour, _role = Tone.HINT.value
    return (
        f'<span style="grid-area:1/1;visibility:hidden;'
        f'animation:{SHOWN_FOR} {lasts} {begins_s:.3f}s {after}">'
        f'<strong style="color:{colour}">{sign}</strong> {literal(text)}</span>'
    )
