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
from itertools import repeat
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from spikecheck import thresholds
from spikecheck.anthers import blob_features, blobs
from spikecheck.errors import UsageError
from spikecheck.model_training.fit_score import fit_score, score_text
from spikecheck.model_training.network_free_examples import anther_examples, opening_examples
from spikecheck.segmentation import opening_features

if TYPE_CHECKING:
    from collections.abc import Sequence
    from concurrent.futures import Executor

    from numpy.typing import NDArray

    from spikecheck.thresholds.scores import FittedScore

SCORE_FOLDER = Path(thresholds.__path__[0])
_LOG = logging.getLogger(__name__)


def fit_all(images: Sequence[Path], *, workers: Executor) -> dict[str, FittedScore]:
    """Fit all four scores, by the name of their file.

    Parameters
    ----------
    images
        Images with truth beside them.
    workers
        What looks at the images side by side.

    Raises
    ------
    UsageError
        If the images show no candidate of a score.
    """
    examples = [e for e in workers.map(opening_examples, images, chunksize=4) if e is not None]
    source = f"fitted on {len(examples)} generated images, seeds below 1000"
    scores = {
        "opening_score": _fitted(
            "an opening",
            [(e.features, e.right) for e in examples],
            names=opening_features.FEATURES,
            source=source,
        )
    }
    opening = repeat(scores["opening_score"], len(images))
    patches = list(workers.map(anther_examples, images, opening, chunksize=4))
    for look in blobs.Look:
        scores[f"{look}_anther_score"] = _fitted(
            f"a {look} anther",
            [patch[look] for patch in patches if look in patch],
            names=blob_features.FEATURES,
            source=source,
        )
    return scores


def _fitted(
    kind: str,
    parts: Sequence[tuple[NDArray[np.float64], NDArray[np.bool_]]],
    *,
    names: tuple[str, ...],
    source: str,
) -> FittedScore:
    features = np.concatenate([np.empty((0, len(names))), *(part[0] for part in parts)])
    right = np.concatenate([np.empty(0, dtype=bool), *(part[1] for part in parts)])
    if not right.any() or right.all():
        raise UsageError(
            f"{len(right)} candidates for the score of {kind}, {int(right.sum())} of them right",
            cure="Fit it on more images, some with and some without",
        )
    _LOG.info("%s: %d candidates, %d right", kind, len(right), int(right.sum()))
    return fit_score(features, right, names=names, source=source)


def main(folders: Sequence[str]) -> None:
    """Fit all four scores on the images of ``folders`` and write them into the package."""
    images = sorted(image for folder in folders for image in Path(folder).glob("*.jpg"))
    with ProcessPoolExecutor() as pool:
        scores = fit_all(images, workers=pool)
    for name, score in scores.items():
        (SCORE_FOLDER / f"{name}.toml").write_text(score_text(score), encoding="utf-8")


if __name__ == "__main__":
    logging.basicConfig(level=logging.INFO)
    main(sys.argv[1:])
