"""The sentences a technician reads: what is wrong, where, and what to do."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from spikecheck.assessment import sentences
from spikecheck.language import _, ngettext
from spikecheck.vocabulary import AntherStage, ReasonCode
from spikecheck.vocabulary.tag_code import shown_code

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.vocabulary import Anther, Calibration, Floret

_TEENS = range(11, 14)


def floret_name(floret: Floret) -> str:
    """Return the floret's id and how to find it: ``"L3 (left side, 3rd from the base)"``."""
    number, side = floret.id[1:], _(sentences.SIDES[floret.side])
    if not number.isdecimal():
        return _(sentences.FLORET_WITHOUT_NUMBER).format(id=floret.id, side=side)
    return _(sentences.FLORET).format(id=floret.id, side=side, place=_ordinal(int(number)))


def anther_name(anther: Anther, *, sure: bool) -> str:
    """Return what the mark is: ``"green anther"``, ``"possible piece of a yellow anther"``."""
    stage = sentences.STAGES[anther.stage]
    if anther.near_anthesis and anther.stage is AntherStage.GREEN:
        stage = sentences.TURNING_YELLOW
    shape = sentences.PIECE if anther.broken else sentences.ANTHER
    name = _(shape).format(stage=_(stage))
    return name if sure else _(sentences.POSSIBLE).format(name=name)


def mark_in_floret(anther: str, floret: Floret, *, more: int) -> str:
    """Return what was seen and where; ``more`` marks of the kind are in the same floret."""
    mark = _(sentences.IN_FLORET).format(anther=anther, floret=floret_name(floret))
    return ngettext(*sentences.MORE_THERE, more).format(mark=mark, n=more) if more else mark


def mark_outside(anther: str) -> str:
    """Return what was seen outside the florets."""
    return _(sentences.OUTSIDE).format(anther=anther)


def too_close(mark: str, *, with_cure: bool) -> str:
    """Return the sentence on an anther whose pollen may be out; the cure is for the spike."""
    sentence = sentences.TOO_CLOSE_WITH_CURE if with_cure else sentences.TOO_CLOSE
    return _(sentence).format(mark=mark)


def anther_left(mark: str, *, count: int) -> str:
    """Return the sentence on the anthers left in a floret."""
    return ngettext(*sentences.ANTHER_LEFT, count).format(mark=_capital(mark))


def anther_suspected(floret: Floret) -> str:
    """Return the sentence on a floret that looks as if it held an anther, at no certain place."""
    return _(sentences.ANTHER_SUSPECTED).format(floret=floret_name(floret))


def anther_outside(mark: str) -> str:
    """Return the sentence on an anther that clings outside a floret."""
    return _(sentences.ANTHER_OUTSIDE).format(mark=_capital(mark))


def not_clipped(floret: Floret) -> str:
    """Return the sentence on a floret without a cut top; it may be cut and face away."""
    return _(sentences.NOT_CLIPPED).format(floret=floret_name(floret))


def many_not_clipped(count: int) -> str:
    """Return the sentence that stands for all such florets of a spike nobody prepared."""
    return _(sentences.MANY_NOT_CLIPPED).format(n=count)


def not_seen(floret: Floret) -> str:
    """Return the sentence on a floret that cannot be looked into, or not far enough."""
    sentence = sentences.NOT_FAR_ENOUGH if floret.cavity_seen else sentences.NO_OPENING
    return _(sentence).format(floret=floret_name(floret))


def unfamiliar() -> str:
    """Return the sentence on a photo unlike those the finder learned from."""
    return _(sentences.UNFAMILIAR)


def part_not_read(share: float) -> str:
    """Return the sentence on a stretch of the spike that was not recognised."""
    return _(sentences.PART_NOT_READ).format(share=_percent(share))


def too_few_florets(found: int, least: int) -> str:
    """Return the sentence on a spike with fewer florets than a prepared one shows."""
    return ngettext(*sentences.TOO_FEW_FLORETS, found).format(n=found, least=least)


def not_judgeable() -> str:
    """Return the sentence on a photo that cannot be judged for a reason nobody named."""
    return _(sentences.NOT_JUDGEABLE)


def several_tags(codes: Sequence[str]) -> str:
    """Return the sentence on photos of one spike that show the tags of several."""
    return _(sentences.SEVERAL_TAGS).format(codes=", ".join(shown_code(code) for code in codes))


def risk_too_high(p_leftover: float, most: float) -> str:
    """Return the sentence on a spike whose florets taken together are too uncertain."""
    return _(sentences.RISK_TOO_HIGH).format(chance=_percent(p_leftover), most=_percent(most))


def one_face_only() -> str:
    """Return the note on a pass from a single photo."""
    return _(sentences.ONE_FACE_ONLY)


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
        return _(
            "How many spikes with an anther in sight pass by mistake is not known: this check is "
            "not calibrated."
        )
    weakest = max(known, key=lambda calibration: calibration.alpha)
    one_in = math.floor(1 / Fraction(repr(weakest.alpha)))
    return _(
        "Of spikes with an anther in sight, at most 1 in {one_in} passes by mistake, on photos "
        "like the {spikes} this was measured on ({name})."
    ).format(one_in=one_in, spikes=weakest.spikes, name=weakest.name)


def risk_rests_on(*, calibrated: bool) -> str:
    """Return what the stated risk was reckoned with, to be told beside it.

    Parameters
    ----------
    calibrated
        Whether the probabilities were scaled on photos with truth. Of the spikes of such a set
        about half have a leftover, so that there is enough of either kind to measure.
    """
    if calibrated:
        return _(
            "reckoned as if leftovers were as common as in the set it was calibrated on; where "
            "fewer are left, it is smaller"
        )
    return _("a rough figure, more high than low, not fitted on labelled photos")


def and_more(code: ReasonCode, count: int) -> str:
    """Return the line that stands for reasons left out of a long list of one kind."""
    return ngettext(*sentences.AND_MORE[code], count).format(n=count)


def in_photo(message: str, number: int) -> str:
    """Return ``message`` saying which of several photos it is about, counted from 1."""
    return _(sentences.IN_PHOTO).format(number=number, message=message)


def _ordinal(number: int) -> str:
    if number % 100 in _TEENS:
        return _(sentences.OTHER_ORDINAL).format(n=number)
    return _(sentences.ORDINALS.get(number % 10, sentences.OTHER_ORDINAL)).format(n=number)


def _percent(share: float) -> str:
    return _(sentences.WHOLE_PERCENT).format(n=f"{100 * share:.0f}")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
