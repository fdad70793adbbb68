"""Places in the strip that may be an anther: compact patches that stand out by colour.

Three looks are searched apart, each relative to the spike's own tissue, so that a rest of the
light's colour or a straw-coloured genotype shifts both alike: yellow (yellower than the tissue),
pale (much lighter and not greener: dehisced) and green (a lighter, coloured patch in or just
below an opening). This step only proposes; :mod:`spikecheck.anthers.find` decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.imaging.colour import chroma, hue_degrees
from spikecheck.imaging.morphology import dilated, disc
from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.imaging.top_hat import top_hat

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.thresholds import AntherThresholds

_SMOOTH_PX = 1.0
_WIDE_MM = 1.7  # an anther is at most about 1 mm wide (B1.4, from memory); wider is tissue


class Look(StrEnum):
    """By what a patch stands out."""

    YELLOW = "yellow"
    PALE = "pale"
    GREEN = "green"


@dataclass(frozen=True, slots=True, eq=False)
class Tissue:
    """Median colour of the spike's own tissue: CIELAB lightness, b*, chroma, hue (degrees)."""

    lightness: float
    b: float
    chroma: float
    hue_deg: float


@dataclass(frozen=True, slots=True, eq=False)
class StripColours:
    """Smoothed colour pictures of the strip, each float32 (rows, columns).

    Parameters
    ----------
    lightness, b, chroma, hue_deg
        CIELAB under neutral light.
    light_ridge, chroma_ridge
        How much lighter, or more coloured, a place is than anything 1.7 mm wide around it.
    tissue
        The spike's own colour.
    """

    lightness: NDArray[np.float32]
    b: NDArray[np.float32]
    chroma: NDArray[np.float32]
    hue_deg: NDArray[np.float32]
    light_ridge: NDArray[np.float32]
    chroma_ridge: NDArray[np.float32]
    tissue: Tissue


@dataclass(frozen=True, slots=True, eq=False)
class Blob:
    """One patch.

    Parameters
    ----------
    look
        By what it stands out.
    rows, columns
        intp of shape (P,): its pixels, strip px.
    """

    look: Look
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]


def strip_colours(
    lab: NDArray[np.float32], plant: NDArray[np.bool_], spike: NDArray[np.bool_]
) -> StripColours:
    """Prepare the colour pictures.

    Parameters
    ----------
    lab
        CIELAB of the strip, float32 (rows, columns, 3).
    plant, spike
        bool (rows, columns): plant tissue; the spike's outline, filled.
    """
    smooth = np.asarray(cv2.GaussianBlur(lab, (0, 0), _SMOOTH_PX), dtype=np.float32)
    lightness, b = (np.ascontiguousarray(smooth[..., i]) for i in (0, 2))
    colour, hue = chroma(smooth), hue_degrees(smooth)
    own = plant & spike if (plant & spike).any() else np.ones_like(spike)
    return StripColours(
        lightness=lightness,
        b=b,
        chroma=colour,
        hue_deg=hue,
        light_ridge=_ridge(lightness),
        chroma_ridge=_ridge(colour),
        tissue=Tissue(*(float(np.median(each[own])) for each in (lightness, b, colour, hue))),
    )


def find_blobs(
    colours: StripColours,
    spike: NDArray[np.bool_],
    openings: NDArray[np.bool_],
    *,
    thresholds: AntherThresholds,
) -> tuple[Blob, ...]:
    """Propose patches that may be anthers.

    Parameters
    ----------
    colours
        Pictures of the strip.
    spike, openings
        bool (rows, columns): the spike's outline; the inside of the openings' rims.
    thresholds
        How far a patch must stand out, and its area.
    """
    t, own = thresholds, colours.tissue
    near = dilated(spike, t.near_spike_mm * STRIP_PX_PER_MM)
    yellow = (
        near
        & (colours.b > own.b + t.yellow_b_step)
        & (colours.hue_deg < min(own.hue_deg - t.yellow_hue_step_deg, t.yellow_hue_high_deg))
        & (colours.lightness > own.lightness - t.yellow_darker)
    )
    yellow = _without_thin(yellow, t.thin_yellow_mm)
    pale = (
        near
        & (colours.lightness > own.lightness + t.pale_lightness_step)
        & (colours.hue_deg < min(own.hue_deg - t.pale_hue_step_deg, t.pale_hue_high_deg))
        & (colours.chroma > t.pale_chroma_low)
        & ~yellow
    )
    pale = _without_thin(pale, t.thin_pale_mm)
    green = (
        dilated(openings, t.near_opening_mm * STRIP_PX_PER_MM)
        & (colours.light_ridge > t.green_lightness_step)
        & (colours.chroma > t.green_chroma_share * own.chroma)
        & (np.abs(colours.hue_deg - own.hue_deg) < t.green_hue_reach_deg)
        & ~yellow
        & ~pale
    )
    green = _without_thin(green, t.thin_green_mm)
    return tuple(
        blob
        for look, mask in ((Look.YELLOW, yellow), (Look.PALE, pale), (Look.GREEN, green))
        for blob in _blobs(mask, look, thresholds=thresholds)
    )


def _blobs(mask: NDArray[np.bool_], look: Look, *, thresholds: AntherThresholds) -> list[Blob]:
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8))
    least, most = (
        area * STRIP_PX_PER_MM**2 for area in (thresholds.area_low_mm2, thresholds.area_high_mm2)
    )
    found = []
    for i in range(1, count):
        left, top, width, height, area = stats[i]
        if least <= area <= most:
            rows, columns = np.nonzero(labels[top : top + height, left : left + width] == i)
            found.append(Blob(look, rows + top, columns + left))
    return found


def _ridge(picture: NDArray[np.float32]) -> NDArray[np.float32]:
    return top_hat(picture, diameter_px=_WIDE_MM * STRIP_PX_PER_MM)


def _without_thin(mask: NDArray[np.bool_], thickness_mm: float) -> NDArray[np.bool_]:
    """Drop what is thinner than ``thickness_mm``: rims, stigmas, filaments."""
    thin = disc(thickness_mm * STRIP_PX_PER_MM)
    return cv2.morphologyEx(mask.astype(np.uint8), cv2.MORPH_OPEN, thin) > 0
