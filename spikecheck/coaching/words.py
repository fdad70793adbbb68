"""What is told of answers and scores, in plain words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.language import _, ngettext, number, percent, pgettext
from spikecheck.practice import SizeClass, kind_of
from spikecheck.vocabulary import AntherStage, Side, Verdict
from spikecheck.vocabulary.third import Third

if TYPE_CHECKING:
    from spikecheck.practice import (
        Detection,
        LeftoverAnther,
        MarkedAnswer,
        Scores,
        Share,
    )
    from spikecheck.thresholds.practice import PracticeThresholds

_LEANS_FROM = 0.3
"""Criterion from which a leaning is told, standard deviations (own judgement)."""


def trait_words(trait: AntherStage | SizeClass | Third) -> str:
    """Return a stage, size class or third in words."""
    words = {
        AntherStage.GREEN: pgettext("anther", "green"),
        AntherStage.YELLOW: pgettext("anther", "yellow, closed"),
        AntherStage.DEHISCED: pgettext("anther", "open, shedding pollen"),
        SizeClass.SMALL: pgettext("anther", "little of it shows"),
        SizeClass.MIDDLE: pgettext("anther", "a part of it shows"),
        SizeClass.LARGE: pgettext("anther", "much of it shows"),
        Third.BASAL: _("basal third of the spike"),
        Third.CENTRAL: _("central third of the spike"),
        Third.APICAL: _("apical third of the spike"),
    }
    return words[trait]


def leftover_words(leftover: LeftoverAnther, numbers: PracticeThresholds) -> str:
    """Return stage, size and place of a leftover: ``green; little of it shows (0.2 mm²); …``."""
    kind = kind_of(leftover, numbers)
    parts = [trait_words(kind.stage)]
    if kind.size is not None and leftover.visible_area_mm2 is not None:
        area = number(leftover.visible_area_mm2, 1 if leftover.visible_area_mm2 >= 1 else 2)
        parts.append(_("{size} ({area} mm²)").format(size=trait_words(kind.size), area=area))
    parts.append(trait_words(kind.third))
    sides = {
        Side.LEFT: _("left side"),
        Side.RIGHT: _("right side"),
        Side.FRONT: _("facing you"),
    }
    return "; ".join([*parts, sides[leftover.side]])


def answer_words(marked: MarkedAnswer) -> str:
    """Return in a sentence how an answer compares with the truth."""
    leftovers = len(marked.answer.item.leftovers)
    passed = marked.answer.verdict is Verdict.PASS
    if not leftovers:
        if passed:
            return _("Right: nothing is left on this spike.")
        return _("False alarm: nothing is left on this spike.")
    if not marked.found:
        told = ngettext(
            "Missed: {n} leftover anther is there.", "Missed: {n} leftover anthers are there.",
            leftovers,
        ).format(n=leftovers)  # fmt: skip
        if not passed:
            told += " " + _("Review was safe, but no mark was on it.")
        return told
    if marked.missed:
        return _("Found {n} of {m} leftover anthers.").format(n=len(marked.found), m=leftovers)
    return ngettext(
        "Found: {n} leftover anther.", "Found: all {n} leftover anthers.", leftovers
    ).format(n=leftovers)


def share_words(share: Share) -> str:
    """Return a share with its counts and interval: ``9 of 10, 90 % (60 to 98 %)``."""
    return _("{n} of {m}, {share} ({low} to {high})").format(
        n=share.events,
        m=share.trials,
        share=percent(share.value),
        low=percent(share.low),
        high=percent(share.high),
    )


def score_lines(scores: Scores) -> tuple[tuple[str, str], ...]:
    """Return what scores say, line by line: a name and a value.

    Nothing is told of what was not there.
    """
    lines = []
    if scores.sensitivity is not None:
        lines.append((_("Spikes with a leftover found"), share_words(scores.sensitivity)))
    if scores.false_alarms is not None:
        lines.append((_("False alarms on clean spikes"), share_words(scores.false_alarms)))
    if scores.astray:
        lines.append((_("Marks on nothing"), str(scores.astray)))
    if scores.median_s is not None:
        lines.append((_("Usual time a photo"), _("{n} seconds").format(n=number(scores.median_s))))
    if scores.detection is not None:
        lines.append((_("Telling apart"), detection_words(scores.detection)))
    return tuple(lines)


def detection_words(detection: Detection) -> str:
    """Return d' and criterion with what the criterion means."""
    if detection.criterion > _LEANS_FROM:
        leaning = _("rather says pass")
    elif detection.criterion < -_LEANS_FROM:
        leaning = _("rather says review")
    else:
        leaning = _("leans neither way")
    return _("d' {d} (0 is guessing, 3 is very good); criterion {c}: {leaning}").format(
        d=_tenths(detection.d_prime), c=_tenths(detection.criterion), leaning=leaning
    )


def _tenths(value: float) -> str:
    return number(round(value, 1) + 0.0, 1)  # a zero has no sign
