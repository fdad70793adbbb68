"""The usual cautions: ethanol, blades, pollen. One text for the pages and the README."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st

from spikecheck.language import N_, _


@dataclass(frozen=True, slots=True)
class Caution:
    """What to mind with one thing.

    Parameters
    ----------
    subject
        The thing.
    short
        One line for the place where the work happens.
    lines
        All that is to be minded, a sentence or two each.
    sources
        Where the lines come from.
    """

    subject: str
    short: str
    lines: tuple[str, ...]
    sources: str


DEFER = N_(
    "Your local rules, the safety data sheet of the product you use and your supervisor come "
    "first. These lines remind; they do not replace any of them."
)

CAUTIONS = (
    Caution(
        subject=N_("Ethanol"),
        short=N_(
            "Ethanol catches fire easily and hurts the eyes: no flame, no smoking, nothing hot "
            "nearby. Let the tips dry fully before they touch a floret."
        ),
        lines=(
            N_(
                "Highly flammable liquid and vapour (H225). Even at 70 % its vapour can be set "
                "alight on a warm day: no flame, no smoking, no sparks and no hot surfaces near "
                "it. Never flame forceps beside the dip."
            ),
            N_(
                "Keep the dip small and capped, in moving air; do not leave it in a closed hot "
                "vehicle or against a hot phone or battery."
            ),
            N_(
                "Causes serious eye irritation (H319). If it gets into an eye, rinse with water "
                "for several minutes and get help."
            ),
            N_(
                "Let the tips dry fully, or wipe them, before they touch a floret: wet ethanol "
                "injures the stigma."
            ),
        ),
        sources=N_(
            "Hazard statements H225 and H319: supplier safety data sheet of ethanol. No flames, "
            "sparks or smoking, ventilation, rinsing: International Chemical Safety Card 0044. "
            "Small capped dip, hot vehicle, hot phone, dry tips: common practice; no published "
            "drying time was found."
        ),
    ),
    Caution(
        subject=N_("Blades and points"),
        short=N_(
            "Cut away from your fingers; cap blades, carry them point down, count in and out."
        ),
        lines=(
            N_("Cut away from your fingers and from the thumb that holds the spike."),
            N_(
                "Cap pointed scissors and forceps when they are not in use, and carry them point "
                "down."
            ),
            N_("Count them out before the work and in after it."),
        ),
        sources=N_("Common practice."),
    ),
    Caution(
        subject=N_("Pollen and awns"),
        short=N_(
            "Pollen can bring on allergy and awns scratch eyes: wear glasses, and a mask if you "
            "react."
        ),
        lines=(
            N_(
                "Cereal pollen can bring on hay fever or asthma at this distance, rye most of all: "
                "wear a mask and glasses if you react to it, and have your medicine with you."
            ),
            N_("Awns scratch eyes: wear glasses when you bend over spikes."),
        ),
        sources=N_("Common practice."),
    ),
)


def show_short_cautions() -> None:
    """Show one line a caution, folded away until it is asked for."""
    with st.expander(_("Mind: ethanol, blades, pollen")):
        for caution in CAUTIONS:
            st.markdown(f"**{_(caution.subject)}.** {_(caution.short)}")
        st.markdown(_(DEFER))
        st.page_link("screens/safety.py", label=_("All cautions"))


def show_full_cautions() -> None:
    """Show every caution with its sources."""
    st.markdown(f"**{_(DEFER)}**")
    for caution in CAUTIONS:
        st.subheader(_(caution.subject))
        st.markdown("\n".join(f"- {_(line)}" for line in caution.lines))
        st.caption(_("Sources: {sources}").format(sources=_(caution.sources)))
