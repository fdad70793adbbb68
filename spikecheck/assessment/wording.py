"""The sentences a technician reads: what is wrong, where, and what to do."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from spikecheck.vocabulary import AntherStage, Side
from spikecheck.vocabulary.tag_code import shown_code

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.vocabulary import Anther, Calibration, Floret

_SIDES = {Side.LEFT: "left side", Side.RIGHT: "right side", Side.FRONT: "front"}
_STAGES = {
    AntherStage.GREEN: "green",
    AntherStage.YELLOW: "yellow",
    AntherStage.DEHISCED: "dehisced",
}
_TEENS = range(11, 14)


def floret_name(floret: Floret) -> str:
    """Return the floret's id and how to find it: ``"L3 (left side, 3rd from the base)"``."""
    number = floret.id[1:]
    if not number.isdecimal():
        return f"{floret.id} ({_SIDES[floret.side]})"
    return f"{floret.id} ({_SIDES[floret.side]}, {_ordinal(int(number))} from the base)"


def anther_name(anther: Anther, *, sure: bool) -> str:
    """Return what the mark is: ``"green anther"``, ``"possible piece of a yellow anther"``."""
    stage = _STAGES[anther.stage]
    if anther.near_anthesis and anther.stage is AntherStage.GREEN:
        stage = "yellow-green"
    name = f"piece of a {stage} anther" if anther.broken else f"{stage} anther"
    return name if sure else f"possible {name}"


def and_more_there(count: int) -> str:
    """Return what is added to a sentence when the same floret holds more marks of the kind."""
    if not count:
        return ""
    return f", and {count} more such {'mark' if count == 1 else 'marks'} there"


def too_close(anther: str, place: str, *, with_cure: bool) -> str:
    """Return the sentence on an anther whose pollen may be out; the cure is for the spike."""
    cure = " Set the spike aside unless you are sure that none was shed." if with_cure else ""
    return f"Too close to anthesis: pollen may already be out ({anther} {place}).{cure}"


def anther_left(anther: str, place: str, *, count: int) -> str:
    """Return the sentence on the anthers left in a floret."""
    what = "it" if count == 1 else "them"
    return f"{_capital(anther)} {place}: pull {what} out and take the photo again."


def anther_suspected(floret: Floret) -> str:
    """Return the sentence on a floret that looks as if it held an anther, at no certain place."""
    return (
        f"Possible anther in floret {floret_name(floret)}: look into it, pull out what is left "
        "and take the photo again."
    )


def anther_outside(anther: str) -> str:
    """Return the sentence on an anther that clings outside a floret."""
    return f"{_capital(anther)} outside the florets: take it off and take the photo again."


def not_clipped(floret: Floret) -> str:
    """Return the sentence on a floret without a cut top; it may be cut and face away."""
    return (
        f"{_no_opening(floret)} Clip its top and take out its three anthers, or turn the spike "
        "until the opening shows, then take the photo again."
    )


def many_not_clipped(count: int) -> str:
    """Return the sentence that stands for all such florets of a spike nobody prepared."""
    return f"No cut opening was seen at {count} florets: they are marked in the photo."


def not_seen(floret: Floret) -> str:
    """Return the sentence on a floret that cannot be looked into, or not far enough."""
    cure = "open the floret and look, then take the photo again."
    if not floret.cavity_seen:
        return f"{_no_opening(floret)} Turn the spike until the opening shows, or {cure}"
    return (
        f"The opening of floret {floret_name(floret)} cannot be looked into far enough: turn the "
        f"spike until it can, or {cure}"
    )


def unfamiliar() -> str:
    """Return the sentence on a photo unlike those the finder learned from."""
    return (
        "This photo is unlike the ones this check knows (another crop, view or light), so what it "
        "does not see proves nothing: take it again in even light with one prepared spike flat to "
        "the camera, or look over every floret yourself."
    )


def part_not_read(share: float) -> str:
    """Return the sentence on a stretch of the spike that was not recognised."""
    return (
        f"{share:.0%} of the spike's length could not be read: take the photo again with the spike "
        "flat to the camera and nothing over it."
    )


def too_few_florets(found: int, least: int) -> str:
    """Return the sentence on a spike with fewer florets than a prepared one shows."""
    noun = "floret was" if found == 1 else "florets were"
    return (
        f"Only {found} {noun} recognised where a prepared spike shows {least} or more: "
        "look over the spike, and take the photo again from nearer or from another face."
    )


def not_judgeable() -> str:
    """Return the sentence on a photo that cannot be judged for a reason nobody named."""
    return "The photo cannot be judged: take it again."


def several_tags(codes: Sequence[str]) -> str:
    """Return the sentence on photos of one spike that show the tags of several."""
    listed = ", ".join(shown_code(code) for code in codes)
    return (
        f"Different tags are in view ({listed}): make sure that all photos are of one spike, and "
        "take them again with no other tag in the picture."
    )


def risk_too_high(p_leftover: float, most: float) -> str:
    """Return the sentence on a spike whose florets taken together are too uncertain."""
    return (
        f"Taken together, the chance that an anther was left is put at {p_leftover:.0%}, above the "
        f"{most:.0%} allowed: look over every floret once more."
    )


def one_face_only() -> str:
    """Return the note on a pass from a single photo."""
    return (
        "Only one face was photographed and nothing is known of the other: "
        "photograph the other face too, or look it over."
    )


def promise(calibrations: Sequence[Calibration | None]) -> str:
    """Return what a pass promises: how many spikes with a visible leftover pass all the same.

    Parameters
    ----------
    calibrations
        Of each photo of the spike. The promise is the share that was asked for, whatever fewer
        passed in the set; it is of such spikes on average. Another photo of a spike can only add
        reasons for review, so several photos keep the weakest of their promises.
    """
    known = [calibration for calibration in calibrations if calibration is not None]
    if not known or len(known) < len(calibrations):
        return (
            "How many spikes with an anther in sight pass by mistake is not known: this check is "
            "not calibrated."
        )
    weakest = max(known, key=lambda calibration: calibration.alpha)
    one_in = math.floor(1 / Fraction(repr(weakest.alpha)))
    return (
        f"Of spikes with an anther in sight, at most 1 in {one_in} passes by mistake, on photos "
        f"like the {weakest.spikes} this was measured on ({weakest.name})."
    )


def risk_rests_on(*, calibrated: bool) -> str:
    """Return what the stated risk was reckoned with, to be told beside it.

    Parameters
    ----------
    calibrated
        Whether the probabilities were scaled on photos with truth. Of the spikes of such a set
        about half have a leftover, so that there is enough of either kind to measure.
    """
    if calibrated:
        return (
            "reckoned as if leftovers were as common as in the set it was calibrated on; where "
            "fewer are left, it is smaller"
        )
    return "a rough figure, more high than low, not fitted on labelled photos"


def and_more(count: int, *, singular: str, plural: str) -> str:
    """Return the line that stands for reasons left out of a long list."""
    return f"And {count} more {singular if count == 1 else plural} marked in the photo."


def in_photo(message: str, number: int) -> str:
    """Return ``message`` saying which of several photos it is about, counted from 1."""
    return f"Photo {number}: {message}"


def _no_opening(floret: Floret) -> str:
    return (
        f"No cut opening was seen at floret {floret_name(floret)}: not clipped, turned away or "
        "hidden."
    )


def _ordinal(number: int) -> str:
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{'th' if number % 100 in _TEENS else ending}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
