"""What to mind, what the verdict is worth, and what looks at the photos."""

from __future__ import annotations

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from who import require_here
from widgets.cautions import show_full_cautions
from widgets.plain import Tone, notice

_LIMITS = (
    (
        "A verdict helps you decide; it decides nothing. Look over the spike yourself before you "
        "bag it."
    ),
    (
        "Pass means that no leftover anther was seen in the photos. It is no guarantee: an anther "
        "behind a lemma or on the side that was not photographed is not seen."
    ),
    (
        "One photo shows at most half of the florets. Photograph two sides of each spike, better "
        "four (Genaev et al. 2019, Agronomy)."
    ),
    "Whatever cannot be judged is answered with review, never with pass.",
    (
        "The networks were fitted, and their pass limit was chosen, on rendered pictures of wheat "
        "alone. On your own photos the promise and the chance that an anther is left are rough "
        "until you have calibrated with photos of your own."
    ),
    (
        "Most spikes go to review, clean ones too, and some anthers in sight get no mark: look "
        "into every floret, not only where a mark is."
    ),
    (
        "Control spikes tell what really happens: emasculate and bag a few, never pollinate them, "
        "and count their seed."
    ),
)


def show() -> None:
    """Show cautions, limits and method."""
    require_here(Action.READ_CAUTIONS)
    st.header("Safety and limits")
    show_full_cautions()
    st.header("What a verdict is worth")
    st.markdown("\n".join(f"- {line}" for line in _LIMITS))
    st.header("What looks at the photos")
    try:
        model = resources.finder().model
        own = resources.calibration()
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    st.text(f"{model.name}, version {model.version}")
    st.text(f"Digest {model.sha256}")
    if own is None:
        st.text("Pass limit: as it comes with the method")
    else:
        st.text(
            f"Pass limit: your own calibration, {own.name} ({own.spikes} spikes with a leftover)"
        )
    st.text(f"Digest of the deciding numbers {resources.thresholds().sha256}")
    st.markdown(
        "A method without a trained network goes by colour and shape alone; what it cannot read "
        "it answers with review. It stays as the fallback where no network is installed."
    )


show()
