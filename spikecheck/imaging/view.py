"""Which part of a photo an overlay shows, and how large."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.vocabulary.check_result import PhotoResult
    from spikecheck.vocabulary.photo import Photo

LONGEST_PX = 2000
"""Of the shown part; strips and labels add to it, to at most 2400."""
SHORTEST_PX = 1200
"""A small photo is enlarged to this, so that labels have room."""
_HALF = 0.5
_MARGIN = 0.10  # around what was found, share of its longer side
_SLENDEREST = (
    0.6  # shorter side shown, share of the longer, where the photo has it: labels go there
)


@dataclass(frozen=True, slots=True)
class View:
    """A rectangle of the photo, shown at some size.

    Parameters
    ----------
    top, left, bottom, right
        Its edges, px of the photo, half open.
    scale
        Shown pixels per photo pixel.
    """

    top: int
    left: int
    bottom: int
    right: int
    scale: float

    @property
    def rows(self) -> int:
        """Shown rows, px."""
        return max(1, round((self.bottom - self.top) * self.scale))

    @property
    def columns(self) -> int:
        """Shown columns, px."""
        return max(1, round((self.right - self.left) * self.scale))

    def place(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return photo points, (row, column), shape (..., 2), as points of the shown part."""
        return (points - (self.top, self.left) + 0.5) * self.scale - 0.5

    def place_inside(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Like :meth:`place`, but what lies outside is moved to the nearest edge."""
        return np.clip(self.place(points), 0, (self.rows - 1, self.columns - 1))

    def cut(self, photo: Photo) -> NDArray[np.uint8]:
        """Return the shown part, uint8 of shape (rows, columns, 3)."""
        part = photo.pixels[self.top : self.bottom, self.left : self.right]
        if self.scale > 1:
            smooth = cv2.INTER_CUBIC
        else:  # down to a half, two neighbours hold all there is, and averaging areas is slow
            smooth = cv2.INTER_LINEAR if self.scale >= _HALF else cv2.INTER_AREA
        size = (self.columns, self.rows)
        return np.asarray(cv2.resize(np.ascontiguousarray(part), size, interpolation=smooth))


def choose_view(photo: Photo, result: PhotoResult) -> View:
    """Return the part around everything that was found; the whole photo where that says more.

    The whole photo is shown when no spike was recognised, and when there are more spikes than one:
    then the question is which one to photograph, not what is in its florets.
    """
    findings = result.findings
    top, left, bottom, right = 0, 0, photo.height, photo.width
    if findings.spike is not None and findings.other_spikes == 0:
        boxes = [anther.box for anther in findings.marks]
        boxes += [floret.box for floret in findings.florets]
        found = np.concatenate(
            [findings.spike.outline, findings.spike.axis]
            + [np.array([[box.top, box.left], [box.bottom, box.right]]) for box in boxes]
        )
        low, high = found.min(axis=0), found.max(axis=0)
        longest = float((high - low).max())
        margin_px = np.maximum(_MARGIN * longest, (_SLENDEREST * longest - (high - low)) / 2)
        limit = np.array([photo.height, photo.width])
        low = np.clip(np.floor(low - margin_px), 0, limit - 1).astype(int)
        high = np.clip(np.ceil(high + margin_px), low + 1, limit).astype(int)
        (top, left), (bottom, right) = low.tolist(), high.tolist()
    longest_px = max(bottom - top, right - left)
    scale = min(max(longest_px, SHORTEST_PX), LONGEST_PX) / longest_px
    return View(top, left, bottom, right, scale)
