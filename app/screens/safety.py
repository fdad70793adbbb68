"""What to mind, what the verdict is worth, and what looks at the photos."""

from __future__ import annotations

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from spikecheck.language import N_, _
from who import require_here
from widgets.cautions import show_full_cautions
from widgets.plain import Tone, notice

_LIMITS = (
    N_(
        "A verdict helps you decide; it decides nothing. Look over the spike yourself before you "
        "bag it."
    ),
    N_(
        "Pass means that no leftover anther was seen in the photos. It is no guarantee: an anther "
        "behind a lemma or on the side that was not photographed is not seen."
    ),
    N_(
        "One photo shows at most half of the florets. Photograph two sides of each spike, better "
        "four (Genaev et al. 2019, Agronomy)."
    ),
    N_("Whatever cannot be judged is answered with review, never with pass."),
    N_(
        "The networks were fitted, and their pass limit was chosen, on rendered pictures of wheat "
        "alone. On your own photos the promise and the chance that an anther is left are rough "
        "until you have calibrated with photos of your own."
    ),
    N_(
        "Most spikes go to review, clean ones too, and some anthers in sight get no mark: look "
        "into every floret, not only where a mark is."
    ),
    N_(
        "Control spikes tell what really happens: emasculate and bag a few, never pollinate them, "
        "and count their seed."
    ),
)


def show() -> None:
    """Show cautions, limits and method."""
    require_here(Action.READ_CAUTIONS)
    st.header(_("Safety and limits"))
    show_full_cautions()
    st.header(_("What a verdict is worth"))
    st.markdown("\n".join(f"- {_(line)}" for line in _LIMITS))
    st.header(_("What looks at the photos"))
    try:
        model = resources.finder().model
        own = resources.calibration()
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)
        return
    st.text(_("{model}, version {version}").format(model=model.name, version=model.version))
    st.text(_("Digest {sha256}").format(sha256=model.sha256))
    if own is None:
        st.text(_("Pass limit: as it comes with the method"))
    else:
        st.text(
            _("Pass limit: your own calibration, {own} ({spikes} spikes with a leftover)").format(
                own=own.name, spikes=own.spikes
            )
        )
    st.text(
        _("Digest of the deciding numbers {sha256}").format(sha256=resources.thresholds().sha256)
    )
    st.markdown(
        _(
            "A method without a trained network goes by colour and shape alone; what it "
            "cannot read it answers with review. It stays as the fallback where no network "
            "is installed."
        )
    )


show()
