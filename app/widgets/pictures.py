"""Pictures with words for those who cannot see them."""

from __future__ import annotations

from base64 import b64encode
from html import escape

import streamlit as st


def show_picture(jpeg: bytes, *, alt: str, width_px: int | None = None) -> None:
    """Show a JPEG as wide as there is room, or ``width_px`` at most."""
    limit = "100%" if width_px is None else f"min(100%,{width_px}px)"
    st.html(
        f'<img src="data:image/jpeg;base64,{b64encode(jpeg).decode()}" alt="{escape(alt)}" '
        f'style="width:{limit};border-radius:0.3rem;display:block">'
    )
