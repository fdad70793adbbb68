"""Fits the scores of the network-free method on images with truth.

::

    spikecheck synth tuning --kind clean --count 60 --seed 200
    spikecheck synth tuning --kind leftover --count 60 --seed 300
    python -m spikecheck.model_training.network_free tuning

Four scores are fitted by ridge-penalised logistic regression on standardised features and their
squares: openings, and anthers of each look. The files land in ``spikecheck/thresholds``. Seeds
below 1000 are for tuning; never fit on images that a result is reported on.
"""

from __future__ import annotations

import logging
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from scipy.optimize import minimize

from spikecheck.anthers import blob_features, blobs
from spikecheck.photo import read_photo
from spikecheck.segmentation import opening_features
from spikecheck.segmentation.locate import locate_spike
from spikecheck.segmentation.openings import find_openings, rim_candidates
from spikecheck.segmentation.strip_masks import rims_mask, strip_masks
from spikecheck.thresholds import load_thresholds
from spikecheck.thresholds.scores import FittedScore
from spikecheck.vocabulary import read_truth

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.segmentation.locate import LocatedSpike
    from spikecheck.segmentation.openings import RimCandidates
    from spikecheck.vocabulary import PhotoTruth

_LOG = logging.getLogger(__name__)
_PENALTY = 3e-4
_SAME_OPENING_MM = 0.5
_CAVITY_LOOKED_INTO = 0.25
_ANTHER_MARGIN_MM = 0.3


@dataclass(frozen=True, slots=True, eq=False)
class Examples:
    """Candidates of one image.

    Parameters
    ----------
    located, candidates
        What the first steps found.
    features
        float64 of shape (N, F).
    right
        bool of shape (N,): whether a candidate is what is looked for.
    """

    located: LocatedSpike
    candidates: RimCandidates
    features: NDArray[np.float64]
    right: NDArray[np.bool_]


def fit_score(
    features: NDArray[np.float64],
    right: NDArray[np.bool_],
    *,
    names: tuple[str, ...],
    source: str,
) -> FittedScore:
    """Fit one score by penalised logistic regression.

    Parameters
    ----------
    features
        float64 of shape (N, F).
    right
        bool of shape (N,).
    names
        Names of the F features.
    source
        Written into the score.
    """
    mean, spread = features.mean(axis=0), features.std(axis=0) + 1e-9
    standard = np.clip((features - mean) / spread, -3, 3)
    design = np.hstack([np.ones((len(features), 1)), standard, standard * standard])
    wanted = right.astype(np.float64)

    def loss(weights: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        odds = design @ weights
        chance = 1 / (1 + np.exp(-odds))
        slope = design.T @ (chance - wanted) / len(wanted)
        slope[1:] += 2 * _PENALTY * weights[1:]
        value = (np.logaddexp(0, odds) - wanted * odds).mean()
        return float(value + _PENALTY * (weights[1:] ** 2).sum()), slope

    start = np.zeros(design.shape[1])
    best = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 2000}).x
    count = len(names)
    return FittedScore(
        names, mean, spread, best[1 : count + 1], best[count + 1 :], float(best[0]), source
    )


def score_text(score: FittedScore) -> str:
    """Return the TOML text of ``score``."""
    lines = [f"source = {score.source!r}".replace("'", '"'), f"intercept = {score.intercept:.5g}"]
    for name, *values in zip(
        score.features, score.mean, score.spread, score.weights, score.square_weights, strict=True
    ):
        numbers = zip(("mean", "spread", "weight", "square_weight"), values, strict=True)
        entries = [f"{key} = {value:.5g}" for key, value in numbers]
        lines += ["", "[[feature]]", f'name = "{name}"', *entries]
    return "\n".join(lines) + "\n"


def opening_examples(image: Path) -> Examples | None:
    """Return the rim candidates of one image with truth beside it."""
    thresholds = load_thresholds()
    photo = read_photo(image, thresholds=thresholds.reading)
    truth = read_truth(image.with_suffix(".json"))
    located = locate_spike(photo, thresholds=thresholds.segmentation, colour=thresholds.colour)
    if located is None:
        return None
    plant, spike = strip_masks(located, colour=thresholds.colour)
    candidates = rim_candidates(located.lab, plant, spike)
    if candidates is None:
        return None
    centres = zip(
        candidates.contours.rows.mean(axis=1), candidates.contours.columns.mean(axis=1), strict=True
    )
    right = np.array([_is_opening(located, row, column, truth) for row, column in centres])
    return Examples(located, candidates, candidates.features, right)


def anther_examples(
    image: Path, score: FittedScore
) -> dict[blobs.Look, tuple[NDArray[np.float64], NDArray[np.bool_]]]:
    """Return features and rightness of one image's patches by look."""
    thresholds = load_thresholds()
    examples = opening_examples(image)
    if examples is None:
        return {}
    truth = read_truth(image.with_suffix(".json"))
    plant, spike = strip_masks(examples.located, colour=thresholds.colour)
    openings = find_openings(examples.candidates, score=score, thresholds=thresholds.segmentation)
    inside = rims_mask([opening.rim for opening in openings], spike.shape)
    colours = blobs.strip_colours(examples.located.lab, plant, spike)
    found = blobs.find_blobs(colours, spike, inside, thresholds=thresholds.anthers)
    features = blob_features.blob_features(found, colours, spike, inside)
    right = np.array([_is_anther(examples.located, blob, truth) for blob in found], dtype=bool)
    looks = np.array([blob.look for blob in found], dtype=object)
    return {look: (features[looks == look], right[looks == look]) for look in blobs.Look}


def _is_opening(located: LocatedSpike, row: float, column: float, truth: PhotoTruth) -> bool:
    place = located.strip.photo_point(row, column)
    reach = _SAME_OPENING_MM * (truth.px_per_mm or 1)
    return any(
        np.hypot(place.row - floret.centre.row, place.column - floret.centre.column) < reach
        for floret in truth.florets or ()
        if floret.clipped and floret.cavity_visible >= _CAVITY_LOOKED_INTO
    )


def _is_anther(located: LocatedSpike, blob: blobs.Blob, truth: PhotoTruth) -> bool:
    place = located.strip.photo_point(float(blob.rows.mean()), float(blob.columns.mean()))
    margin = _ANTHER_MARGIN_MM * (truth.px_per_mm or 1)
    return any(
        anther.box is not None and anther.box.grown(margin).contains(place)
        for anther in truth.anthers
    )


def main(folders: Sequence[str]) -> None:
    """Fit all four scores on the images of ``folders`` and write them into the package."""
    images = sorted(image for folder in folders for image in Path(folder).glob("*.jpg"))
    target = Path(sys.modules["spikecheck.thresholds"].__path__[0])
    with ProcessPoolExecutor() as pool:
        examples = [e for e in pool.map(opening_examples, images, chunksize=4) if e is not None]
        source = f"fitted on {len(examples)} generated images, seeds below 1000"
        opening = fit_score(
            np.concatenate([e.features for e in examples]),
            np.concatenate([e.right for e in examples]),
            names=opening_features.FEATURES,
            source=source,
        )
        (target / "opening_score.toml").write_text(score_text(opening), encoding="utf-8")
        patches = list(pool.map(anther_examples, images, [opening] * len(images), chunksize=4))
    for look in blobs.Look:
        parts = [patch[look] for patch in patches if look in patch]
        right = np.concatenate([part[1] for part in parts])
        _LOG.info("%s: %d patches, %d anthers", look, len(right), int(right.sum()))
        fitted = fit_score(
            np.concatenate([part[0] for part in parts]),
            right,
            names=blob_features.FEATURES,
            source=source,
        )
        path = target / f"{look}_anther_score.toml"
        path.write_text(score_text(fitted), encoding="utf-8")


if __name__ == "__main__":
    logging.basicConfig(level=logging.INFO)
    main(sys.argv[1:])
