"""How the audit page looks: as wide as a desk allows, tiles that are tapped anywhere."""

from __future__ import annotations

import streamlit as st

from widgets.style import TARGET_PX

TILES = "audit-tiles"
"""Key of the container of the tiles."""

TILE = "audit-tile"
"""What the key of the container of one tile begins with."""

_WIDEST_PX = 1200


_STYLE = f"""<style>
[data-testid="stMainBlockContainer"] {{max-width: {_WIDEST_PX}px}}
[data-testid="stMain"] button {{min-height: {TARGET_PX}px}}
.st-key-{TILES} {{
    display: grid; grid-template-columns: repeat(auto-fill, minmax(168px, 1fr)); gap: 0.6rem;
}}
[class*="st-key-{TILE}-"] {{
    position: relative; gap: 0; border: 1px solid #8886; border-radius: 0.5rem;
    padding: 0.4rem; width: 100%; overflow: hidden;
}}
[class*="st-key-{TILE}-"]:hover, [class*="st-key-{TILE}-"]:focus-within {{
    border-color: currentcolor; background: #8881;
}}
[class*="st-key-{TILE}-"] > div {{position: static}}
[class*="st-key-{TILE}-"] button {{
    position: static; min-height: 0; padding: 0; justify-content: flex-start; text-align: left;
}}
[class*="st-key-{TILE}-"] button > * {{width: 100%; justify-content: flex-start}}
[class*="st-key-{TILE}-"] button::after {{content: ""; position: absolute; inset: 0}}
.audit-faces {{display: flex; gap: 2px; height: 148px; justify-content: center}}
.audit-faces img {{flex: 1 1 0; min-width: 0; height: 100%; object-fit: cover;
    border-radius: 0.25rem}}
.audit-faces span {{flex: 1 1 0; display: grid; place-items: center; text-align: center;
    background: #8882; border-radius: 0.25rem; padding: 0.3rem; line-height: 1.25}}
.audit-told {{line-height: 1.35; overflow-wrap: anywhere}}
.audit-told b {{white-space: nowrap}}
.audit-figures {{display: flex; flex-wrap: wrap; gap: 0.6rem; margin: 0 !important;
    padding: 0 !important}}
.audit-figures div {{border: 1px solid #8886; border-radius: 0.5rem; padding: 0.5rem 0.9rem;
    min-width: 6.5rem}}
.audit-figures dt {{order: 2; line-height: 1.3}}
.audit-figures dd {{margin: 0 !important; font-size: 1.7rem; font-weight: 700; line-height: 1.2}}
.audit-figures div {{display: flex; flex-direction: column}}
</style>"""


def show_audit_style() -> None:
    """Put the style into the page."""
    st.html(_STYLE)
