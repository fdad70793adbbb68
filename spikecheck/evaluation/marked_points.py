"""Photos on which people marked anthers by points: what became of them, photo by photo."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from spikecheck.evaluation.scores import Evaluation


@dataclass(frozen=True, slots=True)
class MarkedPhoto:
    """One photo with marked points.

    Parameters
    ----------
    file
        Name of the image.
    verdict
        The answer.
    points, found
        How many anthers are marked, and how many of them were found.
    told
        What was said of it: codes of its reasons, by name.
    """

    file: str
    verdict: str
    points: int
    found: int
    told: tuple[str, ...]


def marked_photos(evaluation: Evaluation) -> list[MarkedPhoto]:
    """Return the photos whose anthers are marked points, of which nobody knows the area."""
    results = {outcome.file: outcome.result for outcome in evaluation.outcomes}
    lines = []
    for photo in evaluation.comparisons:
        points = [anther for anther in photo.anthers if anther.visible_area_mm2 is None]
        result = results.get(photo.file)
        if points and result is not None:
            told = tuple(sorted({str(reason.code) for reason in result.reasons}))
            found = sum(anther.found for anther in points)
            lines.append(MarkedPhoto(photo.file, photo.verdict.value, len(points), found, told))
    return lines
