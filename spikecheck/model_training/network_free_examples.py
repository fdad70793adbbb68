"""Candidates of the network-free method in images with truth, and which of them are right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.anthers import blob_features, blobs
from spikecheck.photo import read_photo
from spikecheck.segmentation.locate import locate_spike
from spikecheck.segmentation.openings import find_openings, rim_candidates
from spikecheck.segmentation.strip_masks import rims_mask, strip_masks
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import read_truth

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from spikecheck.segmentation.locate import LocatedSpike
    from spikecheck.segmentation.openings import RimCandidates
    from spikecheck.thresholds.scores import FittedScore
    from spikecheck.vocabulary import PhotoTruth

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


def opening_examples(image: Path) -> Examples | None:
    """Return the rim candidates of one image with truth beside it."""
    thresholds = load_thresholds()
    photo = read_photo(image, thresholds=thresholds.reading)
    truth = read_truth(image.with_suffix(".json"))
    located = locate_spike(photo, thresholds=thresholds.segmentation, colour=thresholds.colour)
    if located is None:
        return None
    plant, spike = strip_masks(located, colour=thresholds.colour)
    candidates = rim_candidates(located.lab, plant, spike, thresholds=thresholds.segmentation)
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
