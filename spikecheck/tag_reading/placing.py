"""Where exactly a tag lies: from the rough corners of its symbol to the homography of its print.

The print is flattened by what is known so far, and pieces of it are looked for near where they
should be (normalised cross-correlation, J. P. Lewis (1995), Fast template matching, Vision
Interface 95:120-123). Those found give a better homography, and so on: first the symbol alone,
whose corners are known to a module, then ever further along ruler and grey steps. A covered or
dirty piece is not found, and one on a fold does not agree with the others; both are left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.tag_reading.ideal import (
    FLAT_SIZE,
    PX_PER_MM,
    ideal_picture,
    pieces,
    seen_modules,
)
from spikecheck.vocabulary.tag_layout import QR, TAG_WIDTH_MM, Rectangle

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.tag_reading.ideal import Piece
    from spikecheck.thresholds import TagThresholds

# How far along the tag each round looks, and how far around their places, mm. Each round reaches
# no more than twice as far as what the one before it rests on.
_ROUNDS = ((QR.right, 1.2), (QR.right, 0.6), (45.0, 0.9), (65.0, 0.9), (TAG_WIDTH_MM, 0.9))
_LAST_MM = 0.5
_POINTS = 4  # a homography needs so many


@dataclass(frozen=True, slots=True, eq=False)
class Placing:
    """Where the print lies in the picture.

    Parameters
    ----------
    homography
        From (x, y) on the tag, mm, to (x, y) in the picture, px; float64 of shape (3, 3).
    on_tag, in_picture
        Middles of the pieces that it rests on, (x, y), float64 of shape (N, 2), mm and px.
    """

    homography: NDArray[np.float64]
    on_tag: NDArray[np.float64]
    in_picture: NDArray[np.float64]

    def place(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return points on the tag, (x, y) in mm, shape (N, 2), as (x, y) in the picture, px."""
        return mapped(self.homography, points)


def corners_of(place: Rectangle) -> NDArray[np.float64]:
    """Return the corners of a rectangle, (x, y), clockwise from the upper left."""
    left, top, right, bottom = place.left, place.top, place.right, place.bottom
    return np.array([(left, top), (right, top), (right, bottom), (left, bottom)], np.float64)


def mapped(homography: NDArray[np.float64], points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return points, (x, y), shape (N, 2), mapped by a homography."""
    done = cv2.perspectiveTransform(np.asarray(points, np.float64)[None], homography)
    return np.asarray(done[0], np.float64)


def fit_homography(
    on_tag: NDArray[np.float64], in_picture: NDArray[np.float64]
) -> NDArray[np.float64] | None:
    """Return the homography of least squares, or None where there is none."""
    if len(on_tag) < _POINTS:
        return None
    found, _ = cv2.findHomography(on_tag, in_picture, 0)
    return None if found is None else np.asarray(found, np.float64)


def rough_homography(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the homography that four corners of the symbol, (x, y) in px, give."""
    return np.asarray(
        cv2.getPerspectiveTransform(corners_of(QR).astype(np.float32), corners.astype(np.float32)),
        np.float64,
    )


def place_tag(
    grey: NDArray[np.uint8], corners: NDArray[np.float64], *, thresholds: TagThresholds
) -> Placing | None:
    """Return where the print lies, or None where too few of its pieces are found and agree.

    Parameters
    ----------
    grey
        The picture, uint8 of shape (rows, columns).
    corners
        Corners of the symbol, (x, y), px, good to a module.
    thresholds
        How alike a piece must look, how many must agree, and how well.
    """
    near, to_near = _cut_out(grey, rough_homography(corners))
    homography = to_near @ rough_homography(corners)
    least = round(thresholds.pieces_least)
    placing = None
    reached = QR.right
    for reach, around_mm in (*_ROUNDS, (TAG_WIDTH_MM, _LAST_MM)):
        chosen = [one for one in pieces() if one.on_symbol or one.centre[0] <= reach]
        found = _found(near, homography, chosen, around_mm, thresholds.match_least)
        agreeing = _agreeing(*found, most_mm=thresholds.piece_off_most_mm)
        if agreeing is None or len(agreeing.on_tag) < least:
            if reach > reached:
                continue  # what lies further out is covered; what is known stays
            return None
        placing, homography, reached = agreeing, agreeing.homography, reach
    if placing is None:
        return None
    back = np.asarray(np.linalg.inv(to_near), np.float64)
    return Placing(back @ placing.homography, placing.on_tag, mapped(back, placing.in_picture))


def _cut_out(
    grey: NDArray[np.uint8], homography: NDArray[np.float64]
) -> tuple[NDArray[np.uint8], NDArray[np.float64]]:
    """Return the tag's surroundings, reduced to about the flat picture's scale, and the way there.

    Flattening a picture much finer than the flat one would skip pixels and let noise through.
    """
    symbol = mapped(homography, corners_of(QR))
    side_px = float(np.linalg.norm(np.roll(symbol, -1, axis=0) - symbol, axis=1).mean())
    reduced = 1
    while side_px / (QR.right - QR.left) / (2 * reduced) >= PX_PER_MM:
        reduced *= 2
    # No corner of the tag is further from the symbol than five and a half of its sides.
    middle, reach = symbol.mean(axis=0), 7 * side_px
    low = np.clip(np.floor(middle - reach), 0, None).astype(int)
    high = np.clip(np.ceil(middle + reach), 0, (grey.shape[1], grey.shape[0])).astype(int)
    part = grey[low[1] : high[1], low[0] : high[0]]
    rows, columns = (length - length % reduced for length in part.shape)
    part = np.ascontiguousarray(part[:rows, :columns])
    if reduced > 1:
        size = (columns // reduced, rows // reduced)
        part = np.asarray(cv2.resize(part, size, interpolation=cv2.INTER_AREA), np.uint8)
    shift = (0.5 - low) / reduced - 0.5  # whole numbers are pixel centres in either picture
    to_part = np.array([[1 / reduced, 0, shift[0]], [0, 1 / reduced, shift[1]], [0, 0, 1]])
    return part, to_part


def _flattened(picture: NDArray[np.uint8], homography: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Return the tag as the flat picture, taken out of ``picture``."""
    from_px = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, PX_PER_MM]]) / PX_PER_MM
    flat = cv2.warpPerspective(
        picture, homography @ from_px, FLAT_SIZE,
        flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    return np.asarray(flat, np.uint8)


def _found(
    picture: NDArray[np.uint8],
    homography: NDArray[np.float64],
    chosen: Sequence[Piece],
    around_mm: float,
    match_least: float,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the middles of the pieces that were found, on the tag and in ``picture``."""
    flat = _flattened(picture, homography)
    ideal = ideal_picture(seen_modules(flat))
    margin = round(around_mm * PX_PER_MM)
    padded = cv2.copyMakeBorder(flat, margin, margin, margin, margin, cv2.BORDER_REPLICATE)
    on_tag, moved = [], []
    for piece in chosen:
        top, bottom = (round(y * PX_PER_MM) for y in (piece.place.top, piece.place.bottom))
        left, right = (round(x * PX_PER_MM) for x in (piece.place.left, piece.place.right))
        look = padded[top : bottom + 2 * margin, left : right + 2 * margin]
        likeness = cv2.matchTemplate(look, ideal[top:bottom, left:right], cv2.TM_CCOEFF_NORMED)
        _, best, _, (x, y) = cv2.minMaxLoc(likeness)
        inside = 0 < x < likeness.shape[1] - 1 and 0 < y < likeness.shape[0] - 1
        if not (best >= match_least and inside):
            continue
        shift = np.array([
            x - margin + _vertex(*likeness[y, x - 1 : x + 2]),
            y - margin + _vertex(*likeness[y - 1 : y + 2, x]),
        ])  # fmt: skip
        on_tag.append(piece.centre)
        moved.append(np.array(piece.centre) + shift / PX_PER_MM)
    if not on_tag:
        return np.empty((0, 2)), np.empty((0, 2))
    return np.array(on_tag, np.float64), mapped(homography, np.array(moved, np.float64))


def _vertex(before: float, middle: float, after: float) -> float:
    """Return where the parabola through three values has its vertex, from the middle one."""
    bend = before - 2 * middle + after
    return 0.0 if bend >= 0 else float(0.5 * (before - after) / bend)


def _agreeing(
    on_tag: NDArray[np.float64], in_picture: NDArray[np.float64], *, most_mm: float
) -> Placing | None:
    """Return the homography that most pieces agree on, fitted to all that do.

    Random sample consensus (M. A. Fischler, R. C. Bolles (1981), Communications of the ACM
    24:381-395) with distances on the tag, so that tilt makes none of them stricter.
    """
    if len(on_tag) < _POINTS:
        return None
    _, chosen = cv2.findHomography(in_picture, on_tag, cv2.RANSAC, most_mm)
    if chosen is None:
        return None
    agree = chosen.ravel().astype(bool)
    homography = fit_homography(on_tag[agree], in_picture[agree])
    if homography is None:
        return None
    return Placing(homography, on_tag[agree], in_picture[agree])
