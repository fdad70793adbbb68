"""Shows a verdict: a sign, a word and a colour that say the same, then why, then what to do."""

from __future__ import annotations

from base64 import b64encode
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.assessment import promise, risk_rests_on
from spikecheck.imaging.marks import INK, MARKS, PAPER, VERDICT_COLOURS
from spikecheck.vocabulary import Side, Verdict

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from closeups import Closeup
    from draft import Judged
    from spikecheck.imaging.marks import Colour
    from spikecheck.vocabulary import Floret, Risk

_SIGNS = {
    Verdict.PASS: '<circle cx="12" cy="12" r="10.5"/><path d="M7 12.5l3.5 3.5L17 8.5"/>',
    Verdict.REVIEW: '<path d="M12 2L23 21.5H1z"/><path d="M12 9v6M12 17v2.4"/>',
}
_MEANING = {
    Verdict.PASS: "No leftover anther seen.",
    Verdict.REVIEW: "Do not bag yet: look again.",
}
_NEXT = {
    Verdict.PASS: "Next: look over the spike once more yourself, record the check, bag the spike.",
    Verdict.REVIEW: (
        "Next: go back to the places below, or take the photos again as the reasons say. "
        "Record the check either way."
    ),
}
_CLOSEUP_WIDTH_PX = 420  # a phone shows it as wide as it can
_SIDES = {Side.LEFT: "Left side", Side.RIGHT: "Right side", Side.FRONT: "Facing you"}


def show_verdict(verdict: Verdict, *, meaning: bool = True) -> None:
    """Show pass or review, large, and what it means where that is still to be acted on."""
    colour, ink, paper = (_css(c) for c in (VERDICT_COLOURS[verdict], INK, PAPER))
    told = f'<div style="color:{ink}">{_MEANING[verdict]}</div>' if meaning else ""
    st.html(
        f'<div role="status" style="display:flex;gap:0.9rem;align-items:center;padding:0.8rem 1rem;'
        f'background:{paper};color:{colour};border-radius:0.5rem">'
        f'<img src="{_sign(verdict, colour)}" width="48" height="48" alt="" style="flex:none">'
        f'<div><div style="font-size:1.8rem;font-weight:700;line-height:1.2">{verdict.upper()}'
        f"</div>{told}</div></div>"
    )


def show_next_step(verdict: Verdict) -> None:
    """Show what to do after this verdict."""
    st.markdown(f"**{_NEXT[verdict]}**")


def show_reasons(messages: Sequence[str]) -> None:
    """Show the reasons as a numbered list, most urgent first."""
    for number, message in enumerate(messages, start=1):
        st.text(f"{number}. {message}")


def show_risk(risk: Risk) -> None:
    """Show how likely it is that an anther is left, with the caveat it needs."""
    chance = f"Chance that an anther is left: {_percent(risk.p_leftover)}"
    if risk.expected_selfed_share is not None:
        chance += f". Share of selfed seed to expect: {_percent(risk.expected_selfed_share)}"
    st.caption(f"{chance} ({risk_rests_on(calibrated=risk.calibrated)})")


def show_promise(judged: Judged) -> None:
    """Show under a pass how many spikes with an anther in sight pass all the same."""
    result = judged.result
    if result.verdict is Verdict.PASS:
        st.text(promise([photo.findings.calibration for photo in result.photos]))


def show_overlays(judged: Judged) -> None:
    """Show every photo with its marks, those with something to go back to first."""
    told = [reason.photo for reason in judged.result.reasons]
    for index in told_first(told, len(judged.overlays)):
        nothing = "" if index in told else ", nothing to go back to"
        st.caption(f"Photo {index + 1}, marked{nothing}")
        st.image(judged.overlays[index], width="stretch")


def told_first(told: Collection[int | None], photos: int) -> list[int]:
    """Return the indices of photos, those that reasons tell of (``told``) before the others."""
    return sorted(range(photos), key=lambda index: index not in told)


def show_closeups(closeups: Sequence[Closeup]) -> None:
    """Show the places to go back to, enlarged, each with where to find it."""
    if not closeups:
        return
    st.subheader("Go back to")
    for closeup in closeups:
        with st.container(border=True):
            st.markdown(f"**{_name(closeup)}**")
            if closeup.floret is not None:
                st.markdown(_place(closeup.floret.floret))
            st.image(closeup.picture, width=_CLOSEUP_WIDTH_PX)


def _percent(share: float) -> str:
    """Return whole percents; never 0 % or 100 %, which would claim to be certain."""
    if share < 0.01:  # noqa: PLR2004
        return "under 1 %"
    return "over 99 %" if share > 0.99 else f"{share:.0%}".replace("%", " %")  # noqa: PLR2004


def _name(closeup: Closeup) -> str:
    photo = f"photo {closeup.photo + 1}"
    if closeup.floret is None:
        return f"Outside the florets · {photo}"
    return f"{closeup.floret.floret.id} · {MARKS[closeup.floret.status].words} · {photo}"


def _place(floret: Floret) -> str:
    return f"{_SIDES[floret.side]}, floret {floret.id[1:]} counted from the base"


def _sign(verdict: Verdict, colour: str) -> str:
    """Return the sign as a picture address: Streamlit lets no drawing through in the text."""
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24" fill="none" '
        f'stroke="{colour}" stroke-width="2.6">{_SIGNS[verdict]}</svg>'
    )
    return f"data:image/svg+xml;base64,{b64encode(drawing.encode()).decode()}"


def _css(colour: Colour) -> str:
    return "rgb({},{},{})".format(*colour)
