"""Shows a verdict: a sign, a word and a colour that say the same, then what it rests on."""

from __future__ import annotations

from base64 import b64encode
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.assessment import promise, retold, risk_rests_on
from spikecheck.imaging.marks import RIM, VERDICT_COLOURS
from spikecheck.language import N_, _, percent
from spikecheck.vocabulary import Verdict
from spikecheck.vocabulary.words import verdict_word

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from spikecheck.bench_check import Judged
    from spikecheck.imaging.marks import Colour
    from spikecheck.vocabulary import Risk

_SIGNS = {
    Verdict.PASS: '<circle cx="12" cy="12" r="10.5"/><path d="M7 12.5l3.5 3.5L17 8.5"/>',
    Verdict.REVIEW: '<path d="M12 2L23 21.5H1z"/><path d="M12 9v6M12 17v2.4"/>',
}
_MEANING = {
    Verdict.PASS: N_("No leftover anther seen. Look it over once more yourself."),
    Verdict.REVIEW: N_("Do not bag yet: look again."),
}


def show_verdict(verdict: Verdict, *, meaning: bool = True) -> None:
    """Show pass or review, large, and what it means where that is still to be acted on."""
    ground, ink = _css(VERDICT_COLOURS[verdict]), _css(RIM)
    told = f'<div style="font-size:1.1rem">{_(_MEANING[verdict])}</div>' if meaning else ""
    st.html(
        f'<div role="status" style="display:flex;gap:0.9rem;align-items:center;padding:0.8rem 1rem;'
        f'background:{ground};color:{ink};border-radius:0.6rem">'
        f'<img src="{_sign(verdict, ink)}" width="52" height="52" alt="" style="flex:none">'
        f'<div><div style="font-size:1.9rem;font-weight:700;line-height:1.2">'
        f"{verdict_word(verdict).upper()}</div>{told}</div></div>"
    )


def show_reasons(messages: Sequence[str]) -> None:
    """Show recorded reasons, most urgent first, numbered where there are several."""
    for number, message in enumerate(messages, start=1):
        told = retold(message)
        st.text(f"{number}. {told}" if len(messages) > 1 else told)


def show_risk(risk: Risk) -> None:
    """Show how likely it is that an anther is left, with the caveat it needs.

    Where no floret was seen the number rests on none of this spike, and is not shown.
    """
    if risk.expected_selfed_share is None:
        st.caption(_("Chance that an anther is left: not known, no floret could be judged"))
        return
    chance = _("Chance that an anther is left: {share}").format(
        share=uncertain_percent(risk.p_leftover)
    )
    selfed = uncertain_percent(risk.expected_selfed_share)
    chance += ". " + _("Share of selfed seed to expect: {share}").format(share=selfed)
    st.caption(f"{chance} ({risk_rests_on(calibrated=risk.calibrated)})")


def show_promise(judged: Judged) -> None:
    """Show under a pass how many spikes with an anther in sight pass all the same."""
    result = judged.result
    if result.verdict is Verdict.PASS:
        st.text(promise([photo.findings.calibration for photo in result.photos]))


def show_overlays(judged: Judged) -> None:
    """Show every photo with its marks, those with something to go back to first."""
    told = [reason.photo for reason in judged.result.reasons]
    with st.expander(_("The whole photo, marked")):
        for index in told_first(told, len(judged.overlays)):
            title = _("Photo {n}, marked") if index in told else _(
                "Photo {n}, marked, nothing to go back to"
            )  # fmt: skip
            st.caption(title.format(n=index + 1))
            st.image(judged.overlays[index], width="stretch", alt=title.format(n=index + 1))


def told_first(told: Collection[int | None], photos: int) -> list[int]:
    """Return the indices of photos, those that reasons tell of (``told``) before the others."""
    return sorted(range(photos), key=lambda index: index not in told)


def uncertain_percent(share: float) -> str:
    """Return whole percents; never 0 % or 100 %, which would claim to be certain."""
    if share < 0.01:  # noqa: PLR2004
        return _("under {share}").format(share=percent(0.01))
    return (
        _("over {share}").format(share=percent(0.99))
        if share > 0.99  # noqa: PLR2004
        else percent(share)
    )


def _sign(verdict: Verdict, colour: str) -> str:
    """Return the sign as a picture address: Streamlit lets no drawing through in the text."""
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24" fill="none" '
        f'stroke="{colour}" stroke-width="2.6">{_SIGNS[verdict]}</svg>'
    )
    return f"data:image/svg+xml;base64,{b64encode(drawing.encode()).decode()}"


def _css(colour: Colour) -> str:
    return "rgb({},{},{})".format(*colour)
