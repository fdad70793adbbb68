"""What the networks see in every photo of a set, with raw scores and nothing cut off.

The pass limit and the scaling of scores are chosen on this, so neither may have touched it: the
networks run with scaling 1 and 0 and an open limit. What was seen is kept beside the photos, in
``looked_at/``, and a set that was looked at halfway goes on where it stopped.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, replace
from functools import cache, partial
from typing import TYPE_CHECKING

from spikecheck.errors import PhotoError, TrainingError
from spikecheck.model_training.case_file import case_text, read_case
from spikecheck.vocabulary import Calibration, PhotoTruth, read_truth

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from spikecheck.networks import Network
    from spikecheck.pipeline.network_finder import NetworkFinder
    from spikecheck.vocabulary import Findings, PhotoQuality

OPEN = Calibration("open: nothing is cut off", 1.0, 0, 0, 1.0, 1.0, "0" * 64)
RAW = {"floret_a": 1.0, "floret_b": 0.0, "anther_a": 1.0, "anther_b": 0.0}
_FOLDER = "looked_at"


@dataclass(frozen=True, slots=True)
class Case:
    """One photo of the set.

    Parameters
    ----------
    file
        Name of the photo.
    truth
        What is really there.
    findings, quality
        What was seen, with raw scores: the sigmoid of the network's logits.
    """

    file: str
    truth: PhotoTruth
    findings: Findings
    quality: PhotoQuality


@dataclass(frozen=True, slots=True)
class Networks:
    """Which networks look.

    Parameters
    ----------
    folder
        Holds ``overview/`` and ``florets/``, as ``models`` does.
    florets
        Version of the florets network.
    overview
        Version of the overview network; the newest when None.
    """

    folder: Path
    florets: str
    overview: str | None = None

    def load(self) -> tuple[Network, Network]:
        """Return overview and florets network, the latter with raw scores.

        Raises
        ------
        ModelError
            If one is not there or not what its manifest says.
        """
        from spikecheck.networks import FLORETS, OVERVIEW, load_network

        overview = load_network(OVERVIEW, self.overview, folder=self.folder, threads=1)
        florets = load_network(FLORETS, self.florets, folder=self.folder, threads=1)
        return overview, replace(florets, manifest=replace(florets.manifest, calibration=RAW))

    def digest(self) -> str:
        """Return what the raw findings depend on: both files, tuned numbers and thresholds."""
        from spikecheck.thresholds import load_thresholds

        parts = [load_thresholds().sha256]
        for network in self.load():
            tuned = json.dumps(dict(network.manifest.tuned), sort_keys=True)
            parts += [network.manifest.sha256, tuned]
        return hashlib.sha256("\n".join(parts).encode()).hexdigest()


def networks_of(model_folder: Path) -> Networks:
    """Return the networks of ``…/florets/VERSION`` and the newest overview beside it.

    Raises
    ------
    TrainingError
        If the folder is no version of the florets network.
    """
    place = model_folder.resolve()
    if place.parent.name != "florets" or not (place / "model.toml").is_file():
        raise TrainingError(
            "is no folder of a florets network",
            where=str(model_folder),
            cure="Name a folder such as models/florets/1, with its model.toml",
        )
    return Networks(place.parent.parent, place.name)


def look_at_set(
    folder: Path,
    networks: Networks,
    *,
    workers: int,
    progress: Callable[[int, int], None] | None = None,
) -> list[Case]:
    """Let the networks look at every photo that has truth beside it.

    Parameters
    ----------
    folder
        Photos with their truth files.
    networks
        What looks.
    workers
        Number of processes, at least 1.
    progress
        Called with how many are done and how many there are.

    Returns
    -------
    list of Case
        By name of the photo.

    Raises
    ------
    PhotoError, TruthError
        If a photo or its truth cannot be read: a set with gaps proves nothing.
    TrainingError
        If no photo has truth beside it.
    """
    from spikecheck.evaluation.folder import photo_paths
    from spikecheck.pipeline.batch_pool import run_pool

    paths = [path for path in photo_paths(folder) if path.with_suffix(".json").is_file()]
    if not paths:
        raise TrainingError("no photo here has truth beside it", where=str(folder))
    truths = {path: read_truth(path.with_suffix(".json")) for path in paths}
    kept = folder / _FOLDER / networks.digest()[:16]
    kept.mkdir(parents=True, exist_ok=True)
    seen = {path: found for path in paths if (found := _kept(path, kept)) is not None}
    missing = [path for path in paths if path not in seen]
    for path, outcome in run_pool(
        partial(_look, networks=networks, kept=kept), missing, workers=workers
    ):
        found = _kept(path, kept)
        if found is None:
            raise PhotoError(outcome or "was not looked at to the end", where=str(path))
        seen[path] = found
        if progress is not None:
            progress(len(seen), len(paths))
    return [Case(path.name, truths[path], *seen[path]) for path in paths]


def _kept(path: Path, kept: Path) -> tuple[Findings, PhotoQuality] | None:
    """Return what was seen before in a photo that has not changed since, or None."""
    place = kept / f"{path.name}.json"
    try:
        digest, _, text = place.read_text(encoding="utf-8").partition("\n")
        return read_case(text) if digest == _photo_digest(path) else None
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _look(path: Path, *, networks: Networks, kept: Path) -> str:
    """Look at one photo and keep what was seen; return what was wrong, or nothing."""
    from spikecheck.photo import judge_quality, read_photo
    from spikecheck.synthetic.manifest import write_whole
    from spikecheck.thresholds import load_thresholds

    thresholds = load_thresholds()
    try:
        photo = read_photo(path, thresholds=thresholds.reading)
    except PhotoError as error:
        return error.what
    findings = _finder(networks).find(photo)
    quality = judge_quality(photo, findings, thresholds=thresholds.quality)
    text = f"{_photo_digest(path)}\n{case_text(findings, quality)}"
    write_whole(kept / f"{path.name}.json", text.encode())
    return ""


def _photo_digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


@cache
def _finder(networks: Networks) -> NetworkFinder:
    """Return what looks in this process; made at the first photo."""
    import cv2

    from spikecheck.pipeline.network_finder import NetworkFinder
    from spikecheck.thresholds import load_thresholds

    cv2.setNumThreads(1)  # every core has a process of its own already
    return NetworkFinder(load_thresholds(), *networks.load(), OPEN)
