"""The usual cautions: ethanol, blades, pollen. One text for the pages and the README."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st


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


DEFER = (
    "Your local rules, the safety data sheet of the product you use and your supervisor come "
    "first. These lines remind; they do not replace any of them."
)

CAUTIONS = (
    Caution(
        subject="Ethanol",
        short=(
            "Ethanol catches fire easily and hurts the eyes: no flame, no smoking, nothing hot "
            "nearby. Let the tips dry fully before they touch a floret."
        ),
        lines=(
            (
                "Highly flammable liquid and vapour (H225). Even at 70 % its vapour can be set "
                "alight on a warm day: no flame, no smoking, no sparks and no hot surfaces near "
                "it. Never flame forceps beside the dip."
            ),
            (
                "Keep the dip small and capped, in moving air; do not leave it in a closed hot "
                "vehicle or against a hot phone or battery."
            ),
            (
                "Causes serious eye irritation (H319). If it gets into an eye, rinse with water "
                "for several minutes and get help."
            ),
            (
                "Let the tips dry fully, or wipe them, before they touch a floret: wet ethanol "
                "injures the stigma."
            ),
        ),
        sources=(
            "Hazard statements H225 and H319: supplier safety data sheet of ethanol. No flames, "
            "sparks or smoking, ventilation, rinsing: International Chemical Safety Card 0044. "
            "Small capped dip, hot vehicle, hot phone, dry tips: common practice; no published "
            "drying time was found."
        ),
    ),
    Caution(
        subject="Blades and points",
        short="Cut away from your fingers; cap blades, carry them point down, count in and out.",
        lines=(
            "Cut away from your fingers and from the thumb that holds the spike.",
            "Cap pointed scissors and forceps when they are not in use, and carry them point down.",
            "Count them out before the work and in after it.",
        ),
        sources="Common practice.",
    ),
    Caution(
        subject="Pollen and awns",
        short="Pollen can bring on allergy and awns scratch eyes: wear glasses, and a mask if you "
        "react.",
        lines=(
            (
                "Cereal pollen can bring on hay fever or asthma at this distance, rye most of all: "
                "wear a mask and glasses if you react to it, and have your medicine with you."
            ),
            "Awns scratch eyes: wear glasses when you bend over spikes.",
        ),
        sources="Common practice.",
    ),
)


def show_short_cautions() -> None:
    """Show one line a caution, folded away until it is asked for."""
    with st.expander("Mind: ethanol, blades, pollen"):
        for caution in CAUTIONS:
            st.markdown(f"**{caution.subject}.** {caution.short}")
        st.markdown(DEFER)
        st.page_link("screens/safety.py", label="All cautions")


def show_full_cautions() -> None:
    """Show every caution with its sources."""
    st.markdown(f"**{DEFER}**")
    for caution in CAUTIONS:
        st.subheader(caution.subject)
        st.markdown("\n".join(f"- {line}" for line in caution.lines))
        st.caption(f"Sources: {caution.sources}")
