"""Chooses a pass limit on a user's own finished photos.

A spike's score is the highest that an anther or a floret in any of its photos gets; it passes at a
limit when nothing scores above. Spikes that go to review for another reason whatever the limit (a
blurred photo, a floret not seen) are left out: they would make a lax limit look safe for photos
that can be judged.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.assessment.conformal import Outcome, RiskControl, control_risk, limits_below
from spikecheck.labelling.progress import spike_key
from spikecheck.vocabulary import Calibration, ReasonCode

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from spikecheck.vocabulary import CheckResult, PhotoTruth

_BY_MARKS = frozenset({
    ReasonCode.ANTHER_LEFT, ReasonCode.ANTHER_OUTSIDE_FLORET, ReasonCode.TOO_CLOSE_TO_ANTHESIS,
    ReasonCode.RISK_TOO_HIGH, ReasonCode.ONE_FACE_ONLY,
})  # fmt: skip
"""Reasons that rest on the scores themselves, or never send a spike to review."""

PROMISES = (0.01, 0.02, 0.05, 0.10, 0.20)
"""Shares of leftover spikes that pass, for the table of what could be promised."""


@dataclass(frozen=True, slots=True)
class ScoredSpike:
    """One spike of the set.

    Parameters
    ----------
    name
        Tells it from others.
    score
        The highest score of an anther or a floret in its photos, 0..1.
    leftover
        Whether a leftover is marked in one of its photos.
    held_back
        Whether it goes to review whatever the limit.
    """

    name: str
    score: float
    leftover: bool
    held_back: bool


@dataclass(frozen=True, slots=True)
class Promise:
    """What one promise would cost.

    Parameters
    ----------
    control
        The limit for it, or why there is none.
    clean_passed
        Clean spikes that pass at that limit; None without one.
    """

    control: RiskControl
    clean_passed: int | None


@dataclass(frozen=True, slots=True)
class OwnCalibration:
    """A calibration on own photos, or why there is none.

    Parameters
    ----------
    calibration
        The limit that was chosen; None when the promise cannot be made with these spikes.
    wanted
        The promise that was asked for.
    promises
        What could be promised, strictest first; holds those for which there is a limit.
    leftover_spikes, clean_spikes
        Spikes that the choice rests on.
    held_back
        Spikes left out because they go to review for another reason.
    """

    calibration: Calibration | None
    wanted: Promise
    promises: tuple[Promise, ...]
    leftover_spikes: int
    clean_spikes: int
    held_back: int


def score_spikes(
    checked: Iterable[tuple[Path, PhotoTruth, CheckResult]],
) -> tuple[ScoredSpike, ...]:
    """Score the spikes of some photos; photos of one spike count as one.

    Parameters
    ----------
    checked
        Photo, its finished truth, and the result of checking it.
    """
    spikes: dict[str, ScoredSpike] = {}
    for photo, truth, result in checked:
        name = spike_key(photo, truth)
        here = ScoredSpike(name, _highest(result), bool(truth.anthers), _held_back(result))
        before = spikes.get(name, here)
        spikes[name] = ScoredSpike(
            name,
            max(before.score, here.score),
            leftover=before.leftover or here.leftover,
            held_back=before.held_back or here.held_back,
        )
    return tuple(spikes.values())


def choose_limit(
    spikes: Sequence[ScoredSpike], *, alpha: float, name: str, sha256: str
) -> OwnCalibration:
    """Choose the pass limit by conformal risk control.

    Parameters
    ----------
    spikes
        All scored spikes.
    alpha
        Share of spikes with a visible leftover that may pass, above 0 and below 1.
    name
        What the set shows, for people.
    sha256
        Digest of the set.

    Raises
    ------
    UsageError
        If ``alpha`` does not lie between 0 and 1.
    CalibrationError
        If a score is no number from 0 to 1.
    """
    judged = [spike for spike in spikes if not spike.held_back]
    leftover = np.array([spike.score for spike in judged if spike.leftover], np.float64)
    clean = np.array([spike.score for spike in judged if not spike.leftover], np.float64)

    def promise(share: float) -> Promise:
        limits = limits_below(leftover)
        control = control_risk(limits, leftover[:, None] <= limits, alpha=share)
        passed = None if control.limit is None else int((clean <= control.limit).sum())
        return Promise(control, passed)

    wanted = promise(alpha)
    others = [promise(share) for share in PROMISES]
    return OwnCalibration(
        calibration=_calibration(wanted.control, name=name, sha256=sha256),
        wanted=wanted,
        promises=tuple(each for each in others if each.control.outcome is Outcome.CHOSEN),
        leftover_spikes=len(leftover),
        clean_spikes=len(clean),
        held_back=len(spikes) - len(judged),
    )


def set_digest(pairs: Iterable[tuple[str, bytes]]) -> str:
    """Return the digest of a set of photos and their truth files, in any order.

    Parameters
    ----------
    pairs
        For each photo the hex digest of its bytes and the bytes of its truth file.

    Returns
    -------
    str
        64 hex digits; file names do not change it.
    """
    lines = sorted(f"{photo} {hashlib.sha256(label).hexdigest()}\n" for photo, label in pairs)
    return hashlib.sha256("".join(lines).encode()).hexdigest()


def _calibration(control: RiskControl, *, name: str, sha256: str) -> Calibration | None:
    if control.limit is None or control.passed is None or control.bound is None:
        return None
    return Calibration(
        name=name,
        pass_score_most=control.limit,
        spikes=control.spikes,
        passed=control.passed,
        alpha=control.alpha,
        bound=control.bound,
        sha256=sha256,
    )


def _highest(result: CheckResult) -> float:
    scores = [0.0]
    for photo in result.photos:
        scores += [anther.score for anther in photo.findings.anthers]
        scores += [f.p_anther for f in photo.findings.florets if f.p_anther is not None]
    return max(scores)


def _held_back(result: CheckResult) -> bool:
    return any(reason.code not in _BY_MARKS for reason in result.reasons)
