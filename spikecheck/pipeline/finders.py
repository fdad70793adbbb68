"""What looks at the photos: the network when one is there, else the network-free method."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from spikecheck.anthers.blobs import Look
from spikecheck.anthers.find import SeenFloret, StripView, find_anthers
from spikecheck.networks import FLORETS, OVERVIEW, load_network, network_versions
from spikecheck.pipeline.network_finder import NetworkFinder
from spikecheck.segmentation.read_spike import SpikeReading, read_spike
from spikecheck.thresholds.scores import FittedScore, load_score
from spikecheck.vocabulary import NETWORK_FREE, Findings, ModelIdentity

if TYPE_CHECKING:
    from spikecheck.thresholds import Thresholds
    from spikecheck.vocabulary import Anther, Calibration, Finder, Photo

_VERSION = "1"


class NetworkFreeFinder:
    """Finds spike, florets and anthers by shape and colour rules with fitted scores.

    It refuses what it cannot read: a body without openings or rows of spikelets is no spike, a
    doubtful opening is a floret not seen. It cannot tell a green anther lying on green tissue.

    Parameters
    ----------
    thresholds
        All thresholds; their digest is the method's identity.
    """

    def __init__(self, thresholds: Thresholds) -> None:
        self._thresholds = thresholds

    @property
    def model(self) -> ModelIdentity:
        """Name and version of the method, and the digest of its thresholds."""
        return ModelIdentity(NETWORK_FREE, _VERSION, self._thresholds.sha256)

    def find(self, photo: Photo) -> Findings:
        """Look at one photo."""
        reading = read_spike(
            photo,
            score=load_score("opening_score"),
            thresholds=self._thresholds.segmentation,
            colour=self._thresholds.colour,
        )
        if reading is None:
            return Findings(self.model, None, 0, None, (), (), unexplained=1.0)
        return Findings(
            model=self.model,
            spike=reading.spike,
            other_spikes=reading.other_spikes,
            scale=reading.scale,
            florets=reading.florets,
            anthers=self._anthers(reading),
            unexplained=reading.unexplained,
        )

    def _anthers(self, reading: SpikeReading) -> tuple[Anther, ...]:
        view = StripView(
            strip=reading.located.strip,
            lab=reading.located.lab,
            plant=reading.plant,
            spike=reading.spike_mask,
            openings=reading.openings,
        )
        florets = [
            SeenFloret(floret.id, None if place.opening is None else place.opening.rim)
            for floret, place in zip(reading.florets, reading.places, strict=True)
        ]
        return find_anthers(
            view, florets, reading.scale, scores=self._scores, thresholds=self._thresholds.anthers
        )

    @cached_property
    def _scores(self) -> dict[Look, FittedScore]:
        return {look: load_score(f"{look}_anther_score") for look in Look}


def default_finder(
    thresholds: Thresholds, calibration: Calibration | None = None, *, threads: int = 2
) -> Finder:
    """Return what looks at the photos: the networks if both are there, else rules.

    Parameters
    ----------
    thresholds
        All thresholds.
    calibration
        The pass limit to report instead of the one the networks ship with; the network-free
        method has none.
    threads
        Threads the networks may use for one photo, at least 1.

    Raises
    ------
    ModelError
        If a network is there and cannot be used. Falling back in silence would hide it.
    """
    if network_versions(OVERVIEW) and network_versions(FLORETS):
        overview, florets = (load_network(task, threads=threads) for task in (OVERVIEW, FLORETS))
        return NetworkFinder(thresholds, overview, florets, calibration)
    return NetworkFreeFinder(thresholds)
