"""How the page looks beyond what Streamlit offers as settings."""

from __future__ import annotations

import streamlit as st

from spikecheck.language import Language, language

ROWS = "spike-rows"
"""Key of the container of a list whose lines are tapped anywhere."""

ROW = "spike-row"
"""What the key of the container of one line of it begins with."""

MENU = "screens"
"""Key of the container with the links to the pages."""

SIGN_IN = "sign-in-fields"
"""Key of the container with what one signs in with."""

SHOWN_FOR = "shown-for"
"""Animation of what is hidden but for a time: its duration from its delay on."""

FAINT = 0.85
"""Opacity of what is good to know; its contrast stays above 7:1 (WCAG 2.2, 1.4.6)."""

ALARM = "#8a3000"
"""Colour of what went wrong or is late, with a contrast above 7:1 on paper and on its own tint."""

CALM = "#083f63"
"""Colour of what went well or is chosen, alike."""

QUIET = "#4a4a4a"
"""Colour of what helps along, with a contrast above 7:1 on paper and in a field."""

TARGET_PX = 48
"""Least height of what is tapped, CSS px (rule of this project; WCAG 2.2, 2.5.5, asks 44)."""

_MENU_BEGINS_REM = 1.0


def _at_both_edges(colours: str, width: str, moves: str) -> str:
    """Return backgrounds that fade away from the left and the right edge."""
    return ", ".join(
        f"linear-gradient(to {away}, {colours}) {side} / {width} 100% no-repeat {moves}"
        for side, away in (("left", "right"), ("right", "left"))
    )


# A shade at the edge beyond which a wide table goes on: what covers it scrolls with the table.
_COVERS = _at_both_edges("#fff 40%, #fff0", "2.5rem", "local")
_SHADES = _at_both_edges("#0005, #0000", "0.7rem", "scroll")

# A line of a list is tapped anywhere: its button reaches over the whole of it, so the line itself
# is what the button's edge is laid out in. Without this style the button alone is tapped.
_STYLE = f"""<style>
@keyframes {SHOWN_FOR} {{from, to {{visibility: visible}}}}
[data-testid="stMainBlockContainer"] {{padding-top: {_MENU_BEGINS_REM}rem}}
[data-testid="stHeader"] {{background: transparent; pointer-events: none}}
[data-testid="stHeader"] * {{pointer-events: auto}}
[class*="st-key-{MENU}"] [data-testid="stPageLink"],
[class*="st-key-{MENU}"] [data-testid="stPageLink"] a,
[class*="st-key-{MENU}"] button,
[class*="st-key-{SIGN_IN}"] button,
[class*="st-key-{SIGN_IN}"] input {{min-height: {TARGET_PX}px}}
[class*="st-key-practice-"] button {{min-height: {TARGET_PX}px; min-width: {TARGET_PX}px}}
[class*="st-key-{ROW}-"] {{
    position: relative; border-bottom: 1px solid #8884; padding: 0.35rem 0;
    flex-wrap: nowrap; gap: 0.5rem; line-height: 1.35;
}}
[class*="st-key-{ROW}-"]:hover {{background: #8881}}
[class*="st-key-{ROW}-"] > div {{position: static}}
[class*="st-key-{ROW}-"] small {{opacity: {FAINT}; display: inline-block}}
[class*="st-key-{ROW}-"] div {{overflow-wrap: anywhere}}
[class*="st-key-{ROW}-"] button {{position: static; min-height: 0}}
[class*="st-key-{ROW}-"] button::after {{content: ""; position: absolute; inset: 0}}
[data-testid="stDateInput"] [role="spinbutton"] {{
    display: inline-block; min-width: 24px; min-height: 24px; text-align: center;
}}
[data-testid="stMain"] [data-testid="stPageLink-NavLink"] p {{text-decoration: underline}}
[class*="st-key-{MENU}"] [data-testid="stPageLink-NavLink"] p {{text-decoration: none}}
[data-testid="stApp"] kbd {{color: inherit; opacity: 1}}
@media (hover: none), (max-width: 640px) {{[data-testid="stApp"] kbd {{display: none}}}}
[data-testid="stMain"] [data-testid="stCaptionContainer"] {{color: inherit; opacity: {FAINT}}}
[data-testid="stMain"] [data-selected="true"] p {{color: {CALM}}}
[data-testid="InputInstructions"] span {{color: {QUIET}}}
[data-testid="stMain"] [data-testid="stFileUploaderDropzone"] span {{color: inherit}}
[data-testid="stMain"] :is(
    button, summary, [data-testid="stPageLink-NavLink"], textarea,
    input:not([type="checkbox"], [type="radio"], [type="file"]), [role="group"],
    [data-testid="stRadioOption"], [data-testid="stCheckbox"] label,
    [data-testid="stTextInputRootElement"], [data-testid="stNumberInputContainer"]
) {{min-height: {TARGET_PX}px}}
[data-testid="stMain"] [role="group"] {{height: auto}}
.shown-table {{overflow-x: auto; background: {_COVERS}, {_SHADES}}}
.shown-table table {{border-collapse: collapse; width: 100%}}
.shown-table th, .shown-table td {{text-align: left; padding: 0.35rem 0.9rem 0.35rem 0;
    border-bottom: 1px solid #8884; vertical-align: top}}
.shown-table :is(tbody th, td) {{min-width: 4.5rem; overflow-wrap: anywhere}}
.shown-table tbody th {{min-width: 8rem}}
[data-testid="stMain"] :is(input, textarea, td, th, [data-testid="stText"]) {{
    unicode-bidi: plaintext; text-align: left;
}}
</style>"""


# Streamlit's own hint under an input ("Press Enter to ...") is English on every page.
_WITHOUT_HINTS = '<style>[data-testid="InputInstructions"] {display: none}</style>'


def show_style() -> None:
    """Put the style into the page."""
    st.html(_STYLE if language() is Language.ENGLISH else _STYLE + _WITHOUT_HINTS)
