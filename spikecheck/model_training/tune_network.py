"""Chooses limits of both networks on tuning images: seeds below 1000.

::

    python -m spikecheck.model_training.tune_network SET_FOLDER... models/florets/1

- Limits of what is said of the whole photo (a spike close enough, several spikes, cut off,
  something over it, not prepared, out of focus or moved) lie midway between photos with and
  photos without it.
- The bounds of the scale are widened until they hold in 95 % of the photos.
- Marks are reported from a low height of their peak on; calibration chooses which of them count.
- Strangeness is limited so that 1 in 200 photos that can be judged is called unfamiliar.

All other limits stay as they stand in ``[tuned]``. Tune first, then calibrate: other limits give
other scores.
"""

from __future__ import annotations

import argparse
import logging
import math
from dataclasses import asdict, dataclass, field, replace
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from spikecheck.errors import TrainingError
from spikecheck.model_training.command import run
from spikecheck.model_training.limits import midway_limit, upper_quantile
from spikecheck.model_training.looked_at_set import OPEN, RAW, networks_of
from spikecheck.model_training.manifest_tables import write_table
from spikecheck.networks import (
    FloretsTuned,
    Network,
    OverviewGlobal,
    OverviewTuned,
    read_manifest,
    sigmoid,
)
from spikecheck.vocabulary import PhotoTruth, QualityProblem, read_truth

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.model_training.looked_at_set import Networks
    from spikecheck.pipeline.network_finder import NetworkFinder

SCALE_HELD = 0.95
FAMILIAR = 0.995
ANTHER_LEAST = 0.03  # own choice: what is below it a pass limit can never reach
_SAID_EVERY = 5  # photos
_PROBLEMS = {
    "several_least": (OverviewGlobal.SEVERAL_SPIKES, QualityProblem.SEVERAL_SPIKES),
    "cut_off_least": (OverviewGlobal.CUT_OFF, QualityProblem.CUT_OFF),
    "occluded_least": (OverviewGlobal.OCCLUDED, QualityProblem.OCCLUDED),
    "not_prepared_least": (OverviewGlobal.NOT_PREPARED, QualityProblem.NOT_PREPARED),
}
_BLUR = {QualityProblem.DEFOCUS, QualityProblem.MOTION}
_BLUR_CHANNELS = (OverviewGlobal.DEFOCUS, OverviewGlobal.MOTION)
_LOG = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class RecordingNetwork(Network):
    """A network that keeps its answers on the whole image.

    Parameters
    ----------
    seen
        Of each run the outputs other than maps, as lists.
    """

    seen: list[dict[str, list[float]]] = field(default_factory=list)

    def run(self, images: NDArray[np.float32]) -> dict[str, NDArray[np.float32]]:
        """Run and keep what is no map."""
        given = Network.run(self, images)
        self.seen.append(
            {name: value.ravel().tolist() for name, value in given.items() if name != "maps"}
        )
        return given


@dataclass(frozen=True, slots=True)
class Answer:
    """What both networks said of one tuning photo.

    Parameters
    ----------
    truth
        What is really there.
    whole
        The overview's probabilities of the whole photo, by :class:`OverviewGlobal`.
    strangeness
        Of the overview and, where there was a strip, of the florets network.
    scale_error, scale_deviation
        Error of ln(px/mm) and what the network takes for its standard deviation; None without a
        true or a found scale.
    """

    truth: PhotoTruth
    whole: tuple[float, ...]
    strangeness: tuple[float, float | None]
    scale_error: float | None
    scale_deviation: float | None


def tuned_overview(answers: Sequence[Answer], before: OverviewTuned) -> OverviewTuned:
    """Return the overview network's limits; those that the photos say nothing of stay."""
    found: dict[str, float | None] = {}
    close = np.array([QualityProblem.NO_SPIKE not in _problems(answer) for answer in answers])
    found["spike_close_least"] = midway_limit(_whole(answers, OverviewGlobal.SPIKE_CLOSE), close)
    shown = [answer for answer, is_close in zip(answers, close, strict=True) if is_close]
    for name, (channel, problem) in _PROBLEMS.items():
        there = np.array([problem in _problems(answer) for answer in shown], dtype=bool)
        found[name] = midway_limit(_whole(shown, channel), there)
    good = [answer for answer in shown if _judgeable(answer)]
    blurred = [answer for answer in shown if _BLUR & _problems(answer)]
    found["blurred_least"] = midway_limit(
        np.maximum(*(_whole([*good, *blurred], channel) for channel in _BLUR_CHANNELS)),
        np.arange(len(good) + len(blurred)) >= len(good),
    )
    found["scale_widening"] = upper_quantile(
        np.array(
            [
                abs(answer.scale_error) / answer.scale_deviation
                for answer in good
                if answer.scale_error is not None and answer.scale_deviation
            ]
        ),
        SCALE_HELD,
    )
    found["strangeness_most"] = upper_quantile(
        np.array([answer.strangeness[0] for answer in good]), FAMILIAR
    )
    return replace(before, **_known(found))


def tuned_florets(answers: Sequence[Answer], before: FloretsTuned) -> FloretsTuned:
    """Return the florets network's limits; those that the photos say nothing of stay.

    Marks are reported from a low height on: which of them count is chosen by calibration.
    """
    strange = [answer.strangeness[1] for answer in answers if _judgeable(answer)]
    most = upper_quantile(np.array([s for s in strange if s is not None]), FAMILIAR)
    anther_least = min(before.anther_least, ANTHER_LEAST)
    return replace(before, anther_least=anther_least, **_known({"strangeness_most": most}))


def _problems(answer: Answer) -> set[QualityProblem]:
    return set(answer.truth.problems or ())


def _judgeable(answer: Answer) -> bool:
    return _problems(answer) <= {QualityProblem.NOT_PREPARED}


def _whole(answers: Sequence[Answer], channel: OverviewGlobal) -> NDArray[np.float64]:
    return np.array([answer.whole[channel] for answer in answers], dtype=np.float64)


def _known(found: dict[str, float | None]) -> dict[str, float]:
    for name in [name for name, value in found.items() if value is None]:
        _LOG.info("%s stays: too few photos with and without", name)
    return {name: value for name, value in found.items() if value is not None}


def ask_networks(folder: Path, networks: Networks, *, workers: int) -> list[Answer]:
    """Let both networks answer on every photo of a set, whatever is wrong with it.

    Raises
    ------
    TrainingError
        If no photo has truth beside it.
    PhotoError, TruthError
        If a photo or its truth cannot be read.
    """
    from spikecheck.evaluation.folder import photo_paths
    from spikecheck.pipeline.batch_pool import run_pool

    paths = [path for path in photo_paths(folder) if path.with_suffix(".json").is_file()]
    if not paths:
        raise TrainingError("no photo here has truth beside it", where=str(folder))
    answers = []
    for path, answer in run_pool(partial(_ask, networks=networks), paths, workers=workers):
        if answer is None:
            raise TrainingError("the process that looked at it died", where=str(path))
        answers.append(answer)
        if len(answers) % _SAID_EVERY == 0:
            _LOG.info("%d of %d photos", len(answers), len(paths))
    return answers


def _ask(path: Path, *, networks: Networks) -> Answer:
    from spikecheck.photo import read_photo
    from spikecheck.thresholds import load_thresholds

    truth = read_truth(path.with_suffix(".json"))
    overview, florets, finder = _asked(networks)
    overview.seen.clear()
    florets.seen.clear()
    scale = finder.find(read_photo(path, thresholds=load_thresholds().reading)).scale
    told, strips = overview.seen[0], [seen["strangeness"][0] for seen in florets.seen]
    known = scale is not None and truth.px_per_mm is not None
    return Answer(
        truth,
        whole=tuple(sigmoid(np.array(told["globals"])).tolist()),
        strangeness=(told["strangeness"][0], max(strips, default=None)),
        scale_error=math.log(scale.px_per_mm / truth.px_per_mm) if known else None,  # type: ignore[union-attr,operator]
        scale_deviation=None if scale is None else math.log(scale.high / scale.px_per_mm),
    )


@cache
def _asked(networks: Networks) -> tuple[RecordingNetwork, RecordingNetwork, NetworkFinder]:
    """Return both networks and a finder that looks with them at any photo, for this process."""
    import cv2

    from spikecheck.pipeline.network_finder import NetworkFinder
    from spikecheck.thresholds import load_thresholds

    cv2.setNumThreads(1)  # every core has a process of its own already
    overview, florets = networks.load()
    opened: dict[str, Any] = {**overview.manifest.tuned, "spike_close_least": 0.0,
                              "scale_widening": 1.0}  # fmt: skip
    recording = (
        RecordingNetwork(overview.path, replace(overview.manifest, tuned=opened), threads=1),
        RecordingNetwork(florets.path, replace(florets.manifest, calibration=RAW), threads=1),
    )
    return *recording, NetworkFinder(load_thresholds(), *recording, OPEN)


def _table(tuned: OverviewTuned | FloretsTuned) -> str:
    return "\n".join(f"{name} = {float(value)!r}" for name, value in asdict(tuned).items()) + "\n"


def main(arguments: Sequence[str] | None = None) -> None:
    """Tune both networks on a set and write ``[tuned]`` into their manifests."""
    from spikecheck.pipeline.batch_pool import core_count

    parser = argparse.ArgumentParser(prog="python -m spikecheck.model_training.tune_network")
    parser.add_argument(
        "set_folder", type=Path, nargs="+", help="photos with truth beside them; one folder or more"
    )
    parser.add_argument("model_folder", type=Path, help="such as models/florets/1")
    parser.add_argument("--workers", type=int, default=core_count())
    options = parser.parse_args(arguments)
    networks = networks_of(options.model_folder)
    answers = [
        answer
        for folder in options.set_folder
        for answer in ask_networks(folder, networks, workers=options.workers)
    ]
    overview_path, florets_path = (network.manifest.path for network in networks.load())
    overview = tuned_overview(answers, read_manifest(overview_path).numbers(OverviewTuned))
    florets = tuned_florets(answers, read_manifest(florets_path).numbers(FloretsTuned))
    for path, tuned in ((overview_path, overview), (florets_path, florets)):
        write_table(path, "tuned", _table(tuned))
        _LOG.info("%s\n[tuned]\n%s", path, _table(tuned))


if __name__ == "__main__":
    run(main)
