"""How the page of the check looks at the bench: large targets, dark on bright, for wet gloves."""

from __future__ import annotations

import streamlit as st

from widgets.style import ALARM, TARGET_PX

CAMERA = "camera-button"
"""What the key of the container of a control for photos begins with."""

PLACE = "place"
"""What the key of the container of a close view with its map begins with."""

BLUE = (11, 90, 138)
"""Ground of the next thing to do."""
WHITE = (255, 255, 255)
TEXT = (49, 51, 63)
"""The page's own text."""


def _css(colour: tuple[int, int, int]) -> str:
    return "rgb({},{},{})".format(*colour)


_BUTTON = "[data-testid=stFileUploaderDropzone] button"
_MAIN, _OTHER = (f'[class*="st-key-{CAMERA}-{kind}"]' for kind in ("main", "other"))
_ANY = f'[class*="st-key-{CAMERA}-"]'

_STYLE = f"""<style>
.stMain button, .stMain a[data-testid="stPageLink-NavLink"], .stMain summary,
[data-testid="stBottom"] button {{min-width: {TARGET_PX}px}}
.stMain a[data-testid="stPageLink-NavLink"], .stMain [data-baseweb="select"] > div
    {{min-height: {TARGET_PX}px}}
.stMain [data-testid="stNumberInputContainer"] button {{width: {TARGET_PX}px}}
.stMain label[data-rac] {{min-height: {TARGET_PX}px; align-items: center}}
[data-testid="stBottom"] button p {{font-size: 1.15rem; font-weight: 600}}
[data-testid="stBottom"] button {{min-height: 56px}}
[data-testid="stBottomBlockContainer"] {{padding: 0.6rem 1rem 0.8rem}}

{_ANY} [data-testid=stFileUploaderDropzone] {{padding: 0; border: 0; background: none}}
{_ANY} [data-testid=stFileUploaderDropzone] > * {{flex: 1}}
{_ANY} [data-testid=stFileUploaderDropzoneInstructions] {{display: none}}
{_ANY} {_BUTTON} {{width: 100%; min-height: 64px; border-radius: 0.6rem; border: 2px solid
    {_css(BLUE)}; justify-content: center}}
{_ANY} {_BUTTON} > * {{position: absolute; width: 1px; height: 1px; overflow: hidden;
    clip-path: inset(50%)}}
{_ANY} {_BUTTON}::after {{font-size: 1.15rem; font-weight: 600; line-height: 1.3}}
{_ANY} [data-testid=stFileChipDeleteBtn] {{display: none}}
{_ANY} [data-testid=stFileChip], {_ANY} [data-testid=stTooltipErrorHoverTarget] {{max-width: none;
    width: 100% !important}}
{_ANY} [data-testid=stFileChip] {{flex-wrap: wrap}}
{_ANY} [data-testid=stFileChip] [role=alert] {{position: static; width: 100%; height: auto;
    margin: 0; clip: auto; clip-path: none; white-space: normal; font-size: 0; color: {ALARM}}}
{_ANY} [data-testid=stFileChip] [role=alert]::after {{font-size: 1rem}}
{_MAIN} {_BUTTON}, {_MAIN} {_BUTTON}:hover {{background: {_css(BLUE)}; color: {_css(WHITE)}}}
{_OTHER} {_BUTTON}, {_OTHER} {_BUTTON}:hover {{background: {_css(WHITE)}; color: {_css(BLUE)}}}

[class*="st-key-{PLACE}-"] {{flex-wrap: nowrap; gap: 0.6rem}}
[class*="st-key-{PLACE}-"] > :first-child {{max-width: 400px}}
[class*="st-key-{PLACE}-"] img {{border-radius: 0.4rem}}
</style>"""


def show_bench_style() -> None:
    """Put the style into the page."""
    st.html(_STYLE)
