"""How much is found when few false marks are allowed, whatever limit the marks have to pass.

A point of the free-response operating characteristic: sensitivity against the mean number of false
marks an image (Bunch, Hamilton, Sanderson and Simmons 1978, J. Appl. Photogr. Eng. 4: 166-171).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from spikecheck.evaluation.records import Proportion

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.evaluation.records import Comparison

FALSE_PER_PHOTO = 0.05


def score_with_few_false(photos: Sequence[Comparison], *, false_per_photo: float) -> float:
    """Return the score that marks have to exceed so that few enough of them are false.

    Parameters
    ----------
    photos
        Those with an unknown number of false marks are left out.
    false_per_photo
        How many may be false, a mean of all photos.

    Returns
    -------
    float
        -infinity when all marks may stay.
    """
    known = [photo.false_scores for photo in photos if photo.false_scores is not None]
    allowed = math.floor(false_per_photo * len(known) + 1e-9)
    scores = sorted((score for one in known for score in one), reverse=True)
    return scores[allowed] if allowed < len(scores) else -math.inf


def recall_with_few_false(
    photos: Sequence[Comparison], *, least_mm2: float, false_per_photo: float = FALSE_PER_PHOTO
) -> Proportion:
    """Return how many anthers are found by marks among which few are false.

    Parameters
    ----------
    photos
        In which all visible anthers are marked; others are left out.
    least_mm2
        Anthers of which less shows, or nobody knows how much, do not count.
    false_per_photo
        How many marks may be false, a mean of all photos.
    """
    known = [photo for photo in photos if photo.false_scores is not None]
    above = score_with_few_false(known, false_per_photo=false_per_photo)
    found = [
        anther.found_score is not None and anther.found_score > above
        for photo in known
        for anther in photo.anthers
        if anther.visible_area_mm2 is not None and anther.visible_area_mm2 >= least_mm2
    ]
    return Proportion(sum(found), len(found))
