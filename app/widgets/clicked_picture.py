"""A picture that tells where it was clicked."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import streamlit as st
from streamlit_image_coordinates import (  # type: ignore[import-untyped]
    streamlit_image_coordinates,
)

from spikecheck.imaging.label_view import clicked_place

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.imaging.view import View
    from spikecheck.vocabulary import Point

_LAST = "last-click"
_SAME_CLICK_MS = 800  # a second click so soon is the other half of a double click


def clicked_picture(
    pixels: object, *, key: str, alt: str, width: int | str, on_click: Callable[[], None]
) -> None:
    """Show ``pixels``, an RGB array, as a JPEG without anything but its pixels.

    ``alt`` says what it is to those who cannot see it.
    """
    streamlit_image_coordinates(
        pixels,
        key=key,
        width=width,
        image_format="JPEG",
        jpeg_quality=88,
        on_click=on_click,
        cursor="crosshair",
    )
    _name(key, alt)


def _name(key: str, alt: str) -> None:
    """Name frame and picture: the component has no words for them, and loads when it likes.

    A minute at most, which is more than a slow phone takes.
    """
    words = json.dumps(alt).replace("<", "\\u003c")
    st.html(
        "<script>(() => {let tries = 0; const timer = setInterval(() => {"
        f'const frame = document.querySelector(".st-key-{key} iframe");'
        'const picture = frame?.contentDocument?.querySelector("img");'
        f"if (picture) {{frame.title = picture.alt = {words};}}"
        "if (picture || ++tries > 600) clearInterval(timer);}, 100);})()</script>",
        unsafe_allow_javascript=True,
    )


def clicked(key: str, view: View) -> Point | None:
    """Return the place of a click, or None when it is the second half of a double click."""
    click = st.session_state.get(key)
    if not click or not click["width"] or not click["height"]:
        return None
    last, st.session_state[_LAST] = st.session_state.get(_LAST), (key, click["unix_time"])
    if last and last[0] == key and click["unix_time"] - last[1] < _SAME_CLICK_MS:
        return None
    return clicked_place(
        view, x_share=click["x"] / click["width"], y_share=click["y"] / click["height"]
    )
