"""Where the spike is in the photo: outline, axis, and the straightened strip for closer looks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.imaging.morphology import dilated
from spikecheck.imaging.strip import Strip, straighten
from spikecheck.imaging.white_balance import balanced_lab, estimate_white_balance
from spikecheck.segmentation.axis import body_axis
from spikecheck.segmentation.body import Body, find_bodies
from spikecheck.segmentation.plant_mask import detail_mask, plant_mask

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.imaging.white_balance import WhiteBalance
    from spikecheck.thresholds import ColourThresholds, SegmentationThresholds
    from spikecheck.vocabulary import Photo

_OUTLINE_ERROR_PX = 1.0  # of the reduced picture; keeps the polygon short
_BORDER_PX = 2
_ROUNDED_OFF = 0.1  # widths of the body by which its opening may shorten spikelet tips


@dataclass(frozen=True, slots=True, eq=False)
class LocatedSpike:
    """A spike-like body in full-resolution coordinates.

    Parameters
    ----------
    outline
        float64 of shape (N, 2): (row, column), px of the photo.
    axis
        float64 of shape (M, 2): (row, column) from base to tip, px of the photo.
    width_px
        Width of the body, px of the photo.
    cut_off
        Whether the body reaches the edge of the picture.
    hidden_share
        Share of its length that something lies over, 0..1.
    others
        How many more bodies of similar length are in the picture.
    strip
        The straightened picture at the working scale.
    lab
        float32 of the strip's shape: its CIELAB under neutral light.
    balance
        The white balance used.
    """

    outline: NDArray[np.float64]
    axis: NDArray[np.float64]
    width_px: float
    cut_off: bool
    hidden_share: float
    others: int
    strip: Strip
    lab: NDArray[np.float32]
    balance: WhiteBalance


def locate_spike(
    photo: Photo, *, thresholds: SegmentationThresholds, colour: ColourThresholds
) -> LocatedSpike | None:
    """Find the longest spike-like body of a photo, or None.

    Parameters
    ----------
    photo
        The photo.
    thresholds, colour
        Shape and colour limits.
    """
    reduction = min(1.0, thresholds.reduced_side_px / max(photo.pixels.shape))
    small = cv2.resize(photo.pixels, None, fx=reduction, fy=reduction, interpolation=cv2.INTER_AREA)
    reduced: NDArray[np.uint8] = small.astype(np.uint8, copy=False)
    balance = estimate_white_balance(reduced, thresholds=colour)
    lab = balanced_lab(reduced, balance)
    detail = detail_mask(lab, thresholds=thresholds)
    found = _best_bodies(lab, detail, thresholds=thresholds, colour=colour)
    if found is None:
        return None
    plant, bodies = found
    body = bodies[0]
    axis = (body_axis(body, plant, thresholds=thresholds) + 0.5) / reduction - 0.5
    width_px = body.width_px / reduction
    strip = straighten(
        photo.pixels,
        axis,
        half_width_px=thresholds.strip_half_width * width_px,
        margin_px=thresholds.strip_margin * width_px,
        zoom=min(1.0, thresholds.strip_width_px / width_px),
    )
    return LocatedSpike(
        outline=(_outline(body, plant) + 0.5) / reduction - 0.5,
        axis=axis,
        width_px=width_px,
        cut_off=_touches_edge(body),
        hidden_share=body.hidden_share,
        others=sum(
            other.length_px > thresholds.other_length_share * body.length_px for other in bodies[1:]
        ),
        strip=strip,
        lab=balanced_lab(strip.pixels, balance),
        balance=balance,
    )


def _best_bodies(
    lab: NDArray[np.float32],
    detail: NDArray[np.bool_],
    *,
    thresholds: SegmentationThresholds,
    colour: ColourThresholds,
) -> tuple[NDArray[np.bool_], tuple[Body, ...]] | None:
    """Look in all plant tissue, in green tissue, and in what of both is in focus.

    Returns the tissue and its bodies where the longest body in focus was found: straw-coloured
    spikes need the first, wood behind a green spike the second, a blurred field the others.
    """
    best: tuple[float, NDArray[np.bool_], tuple[Body, ...]] | None = None
    for strict in (False, True):
        tissue = plant_mask(lab, thresholds=colour, strict=strict)
        for plant in (tissue, tissue & detail):
            bodies = find_bodies(plant, thresholds=thresholds)
            if not bodies:
                continue
            in_focus = bodies[0].length_px * float(detail[bodies[0].mask].mean())
            if best is None or in_focus > thresholds.clearly_better * best[0]:
                best = (in_focus, plant, bodies)
    return None if best is None else best[1:]


def _outline(body: Body, plant: NDArray[np.bool_]) -> NDArray[np.float64]:
    near = dilated(body.mask, _ROUNDED_OFF * body.width_px)
    mask = (body.mask | (plant & near)).astype(np.uint8)
    contours, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    hull = max(contours, key=cv2.contourArea)
    if len(contours) > 1 and body.hidden_share > 0:  # a spike cut in two by what lies over it
        hull = cv2.convexHull(np.concatenate(contours))
    polygon = cv2.approxPolyDP(hull, _OUTLINE_ERROR_PX, closed=True)
    return np.asarray(polygon.reshape(-1, 2)[:, ::-1], dtype=np.float64)


def _touches_edge(body: Body) -> bool:
    inner = body.mask[_BORDER_PX:-_BORDER_PX, _BORDER_PX:-_BORDER_PX]
    return int(body.mask.sum()) > int(inner.sum())
