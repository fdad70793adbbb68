"""Calibrates the florets network: scaling of its scores, and the pass limit.

::

    python -m spikecheck.model_training.calibrate_network SET_FOLDER models/florets/1

The set's spikes are split into a quarter and the other three by a digest of their names. On the
quarter both scalings are fitted (logistic regression on what really is there: two numbers each,
from thousands of florets). On the rest, which needs 199 leftover spikes for alpha 0.5 %, the pass
limit is chosen by conformal risk control: of its spikes in good photos with a visible leftover,
of which the pipeline has nothing else to object to, so few pass that ``(passed + 1) / (n + 1)`` is
at most alpha. Leaving out those that go to review for another reason makes the promise hold for
those that do not. One photo of each spike counts, so that the spikes are independent.

A limit laxer than clean spikes need would only trust the network more than necessary on photos
unlike the set: the limit never exceeds the score that 99 % of the first quarter's clean spikes stay
under, or the score from which an uncalibrated mark counts, where that is higher. A stricter limit
than the certified one keeps its promise, because a spike that passes at a limit passes at every
laxer one.

Both go into the network's ``model.toml``, with the set's size and digest. Calibrate before a
version is released: a released version is never changed. Seeds of a calibration set start at
200000, so that nothing was trained or is reported on it.
"""

from __future__ import annotations

import argparse
import hashlib
import logging
import math
import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.assessment.calibration_file import calibration_toml
from spikecheck.assessment.conformal import (
    Outcome,
    RiskControl,
    control_risk,
    limits_below,
    spikes_needed,
)
from spikecheck.errors import CalibrationError
from spikecheck.evaluation.targets import VISIBLE_MM2
from spikecheck.labelling.own_calibration import set_digest
from spikecheck.model_training.command import run
from spikecheck.model_training.looked_at_set import OPEN, look_at_set, networks_of
from spikecheck.model_training.manifest_tables import write_table
from spikecheck.model_training.scaled_case import (
    Scalings,
    fit_scalings,
    is_good,
    result_of,
    scaled_case,
)
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Calibration, ReasonCode, Verdict

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from spikecheck.model_training.looked_at_set import Case

ALPHA = 0.005
FALLBACK_ALPHA = 0.01
CLEAN_KEPT = 0.99
_LAYER = re.compile(r"s\d{7}")  # names of composed photos begin with the rendered spike's
_LOG = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class NetworkCalibration:
    """What calibrating a network gave.

    Parameters
    ----------
    scalings
        Of both kinds of score.
    control
        The pass limit, or why there is none.
    held_back
        Leftover spikes left out because they go to review whatever the limit.
    clean, clean_passed
        Clean spikes of the same part, and how many pass at the limit.
    """

    scalings: Scalings
    control: RiskControl
    held_back: int
    clean: int
    clean_passed: int


def spike_of(case: Case) -> str:
    """Return what tells a case's spike from others: photos of one render show one spike."""
    layer = _LAYER.match(case.file)
    return case.truth.spike or (layer.group() if layer else case.file)


def parts(cases: Iterable[Case]) -> tuple[list[Case], list[Case]]:
    """Split cases by spike, a quarter and the rest, without looking at what they show."""
    split: tuple[list[Case], list[Case]] = ([], [])
    for case in cases:
        digest = hashlib.sha256(spike_of(case).encode()).digest()
        split[digest[0] % 4 > 0].append(case)
    return split


def calibrate(cases: Sequence[Case], *, alpha: float) -> NetworkCalibration:
    """Fit the scalings on a quarter of the spikes and choose the pass limit on the others.

    Parameters
    ----------
    cases
        The set, with raw scores.
    alpha
        The share of spikes with a visible leftover that may pass. With too few spikes for it, 1 in
        100 is tried.

    Raises
    ------
    CalibrationError
        If the first quarter shows no two kinds of outcome.
    """
    first, second = parts(cases)
    scalings = fit_scalings(first)
    scaled = [scaled_case(case, scalings) for case in second]
    leftover = [case for case in scaled if _shows_leftover(case) and is_good(case.truth)]
    asked = one_of_each_spike(case for case in leftover if not _held_back(case))
    if len(asked) < spikes_needed(alpha):
        alpha = max(alpha, FALLBACK_ALPHA)
    control = choose_limit(asked, alpha=alpha, most=needed_limit(first, scalings))
    clean = one_of_each_spike(case for case in scaled if case.truth.verdict is Verdict.PASS)
    return NetworkCalibration(
        scalings=scalings,
        control=control,
        held_back=len(one_of_each_spike(leftover)) - len(asked),
        clean=len(clean),
        clean_passed=(
            0 if control.limit is None else sum(_passes(case, control.limit) for case in clean)
        ),
    )


def one_of_each_spike(cases: Iterable[Case]) -> list[Case]:
    """Return the first case of every spike."""
    first: dict[str, Case] = {}
    for case in cases:
        first.setdefault(spike_of(case), case)
    return list(first.values())


def needed_limit(cases: Iterable[Case], scalings: Scalings) -> float:
    """Return the limit that clean spikes need, 0..1: one laxer is of no use.

    Parameters
    ----------
    cases
        With raw scores.
    scalings
        Of the scores.
    """
    scaled = [scaled_case(case, scalings) for case in cases if case.truth.verdict is Verdict.PASS]
    scores = [_highest(case) for case in scaled if not _held_back(case)]
    doubtful = load_thresholds().assessment.anther_score_least
    if not scores:
        return doubtful
    return max(doubtful, float(np.quantile(scores, CLEAN_KEPT, method="higher")))


def choose_limit(cases: Sequence[Case], *, alpha: float, most: float = 1.0) -> RiskControl:
    """Choose the pass limit for leftover spikes with scaled scores.

    Whether a spike passes at a limit is what the whole pipeline answers, not one score.

    Parameters
    ----------
    cases
        Leftover spikes, with scaled scores.
    alpha
        The share of them that may pass.
    most
        The laxest limit that is of use; chosen without these spikes.
    """
    scores = np.array([_highest(case) for case in cases], dtype=np.float64)
    may_pass = math.floor(alpha * (len(cases) + 1))
    limits = limits_below(scores)[: may_pass + 2]  # from there on more pass than may
    limits = np.unique(np.minimum(limits, most))
    passes = np.array(
        [[_passes(case, float(limit)) for limit in limits] for case in cases],
        dtype=bool,
    ).reshape(len(cases), len(limits))
    return control_risk(limits, passes, alpha=alpha)


def calibration_table(found: NetworkCalibration, *, name: str, sha256: str) -> str:
    """Return the entries of ``[calibration]``: scaling, and the pass limit if there is one."""
    scaling, control = scaling_table(found.scalings), found.control
    if control.limit is None or control.passed is None or control.bound is None:
        return scaling
    calibration = Calibration(
        name, control.limit, control.spikes, control.passed, control.alpha, control.bound, sha256
    )
    return calibration_toml(calibration) + scaling


def scaling_table(scalings: Scalings) -> str:
    """Return the entries of ``[calibration]`` that scale the scores."""
    return "".join(
        f"{kind}_{letter} = {value!r}\n"
        for kind, scaling in (("floret", scalings.floret), ("anther", scalings.anther))
        for letter, value in (("a", scaling.a), ("b", scaling.b))
    )


def _shows_leftover(case: Case) -> bool:
    return any((anther.visible_area_mm2 or 0.0) >= VISIBLE_MM2 for anther in case.truth.anthers)


def _held_back(case: Case) -> bool:
    """Whether the spike goes to review for a reason that no limit has to do with."""
    by_scores = {ReasonCode.RISK_TOO_HIGH, ReasonCode.ONE_FACE_ONLY}
    return any(reason.code not in by_scores for reason in result_of(case, OPEN).reasons)


def _passes(case: Case, limit: float) -> bool:
    at_limit = Calibration("being chosen", limit, 0, 0, 1.0, 1.0, "0" * 64)
    return result_of(case, at_limit).verdict is Verdict.PASS


def _highest(case: Case) -> float:
    scores = [anther.score for anther in case.findings.anthers]
    scores += [floret.p_anther for floret in case.findings.florets if floret.p_anther is not None]
    return max(scores, default=0.0)


def main(arguments: Sequence[str] | None = None) -> None:
    """Calibrate the network of a folder on a set and write ``[calibration]`` into its manifest."""
    from spikecheck.pipeline.batch_pool import core_count

    parser = argparse.ArgumentParser(prog="python -m spikecheck.model_training.calibrate_network")
    parser.add_argument("set_folder", type=Path, help="photos with truth beside them")
    parser.add_argument("model_folder", type=Path, help="such as models/florets/1")
    parser.add_argument("--alpha", type=float, default=ALPHA)
    parser.add_argument("--name", default="rendered spikes", help="what the set shows, for people")
    parser.add_argument("--workers", type=int, default=core_count())
    options = parser.parse_args(arguments)
    spikes_needed(options.alpha)  # refuses an impossible share before the work
    cases = look_at_set(
        options.set_folder,
        networks_of(options.model_folder),
        workers=options.workers,
        progress=lambda done, total: _LOG.info("%d of %d photos", done, total),
    )
    manifest = options.model_folder / "model.toml"
    try:
        found = calibrate(cases, alpha=options.alpha)
    except CalibrationError:
        # A network that tells nothing: its scores stay raw, and there is no limit to pass by.
        write_table(manifest, "calibration", scaling_table(Scalings()))
        raise
    digest = set_digest(
        (hashlib.sha256(photo.read_bytes()).hexdigest(), photo.with_suffix(".json").read_bytes())
        for photo in (options.set_folder / case.file for case in cases)
    )
    table = calibration_table(found, name=options.name, sha256=digest)
    write_table(manifest, "calibration", table)
    _LOG.info("[calibration]\n%s", table)
    _LOG.info(
        "%d leftover spikes held back for other reasons; %d of %d clean spikes pass",
        found.held_back, found.clean_passed, found.clean,
    )  # fmt: skip
    control = found.control
    if control.outcome is not Outcome.CHOSEN:
        least = math.ceil(4 / 3 * control.spikes_least)
        raise CalibrationError(
            f"{control.outcome} with {control.spikes} leftover spikes, so there is no pass limit",
            where=str(options.set_folder),
            cure=f"Use at least {least} spikes with a visible leftover",
        )


if __name__ == "__main__":
    run(main)
