"""Measures of a traced rim that tell a cut opening from anything else.

All are taken in polar coordinates round the rim's middle: on the rim, at fixed shares of the
radius within it and just outside it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.segmentation.opening_contour import SECTORS, sampled

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.segmentation.opening_candidates import LightnessViews
    from spikecheck.segmentation.opening_contour import Contours

_WITHIN = np.linspace(0.1, 0.85, 10)
_OUTSIDE = np.array([1.2, 1.4])
_DARK = 0.22  # share of the tissue's lightness missing in a cavity
_PALE_CHROMA, _PALE_LIGHTNESS = 0.6, 0.5  # stigma and ovary: less colour, not dark

FEATURES = (
    "support", "ridge", "step", "dark_share", "darkness", "darkest", "lightest", "contrast",
    "chroma_within", "rim_paleness", "rim_yellowness", "pale_share", "roughness", "area_mm2",
    "area_mm2_squared", "flatness", "support_below", "support_above", "plant_below", "plant_above",
    "light_outside", "weakest_sector",
)  # fmt: skip


def opening_features(
    contours: Contours,
    views: LightnessViews,
    lab: NDArray[np.float32],
    plant: NDArray[np.bool_],
    spike: NDArray[np.bool_],
) -> NDArray[np.float64]:
    """Measure every traced rim.

    Parameters
    ----------
    contours
        N rims.
    views
        Pictures of the strip.
    lab
        CIELAB of the strip, float32 (rows, columns, 3).
    plant, spike
        bool (rows, columns): plant tissue; the spike's outline, filled.

    Returns
    -------
    features
        float64 of shape (N, 22), in the order of :data:`FEATURES`.
    """
    colour = np.hypot(lab[..., 1], lab[..., 2])
    own_chroma = max(float(np.median(colour[plant & spike])) if (plant & spike).any() else 1.0, 5.0)
    a, b = (np.ascontiguousarray(lab[..., i]) for i in (1, 2))

    def sample(picture: NDArray[np.float32], shares: NDArray[np.float64]) -> NDArray[np.float32]:
        return _radial(picture, contours, shares)

    lightness = sample(views.lightness, _WITHIN) / sample(views.tissue, _WITHIN)
    chroma = np.hypot(sample(a, _WITHIN), sample(b, _WITHIN)) / own_chroma
    rim_a, rim_b = sample(a, np.array([1.0])), sample(b, np.array([1.0]))
    out_a, out_b = sample(a, _OUTSIDE), sample(b, _OUTSIDE)
    leaf = sample(plant.astype(np.float32), _OUTSIDE)
    seen = contours.seen
    below = np.sin(np.arange(seen.shape[1]) * 2 * np.pi / seen.shape[1]) > 0
    dark = 1 - lightness
    area, flatness = _shape(contours)
    flat = (len(seen), -1)
    columns = [
        seen.mean(axis=1),
        contours.ridge.mean(axis=1),
        contours.step.mean(axis=1) / 25,
        (dark > _DARK).mean(axis=(1, 2)),
        dark.mean(axis=(1, 2)),
        np.percentile(lightness.reshape(flat), 5, axis=1),
        np.percentile(lightness.reshape(flat), 95, axis=1),
        lightness.reshape(flat).std(axis=1) * 4,
        chroma.mean(axis=(1, 2)),
        (np.hypot(out_a, out_b).mean(axis=(1, 2)) - np.hypot(rim_a, rim_b).mean(axis=(1, 2))) / 20,
        (rim_a.mean(axis=(1, 2)) - out_a.mean(axis=(1, 2))) / 10,
        ((chroma < _PALE_CHROMA) & (lightness > _PALE_LIGHTNESS)).mean(axis=(1, 2)),
        contours.roughness,
        area,
        area**2,
        flatness,
        seen[:, below].mean(axis=1),
        seen[:, ~below].mean(axis=1),
        leaf[:, :, below].mean(axis=(1, 2)),
        leaf[:, :, ~below].mean(axis=(1, 2)),
        (sample(views.lightness, _OUTSIDE) / sample(views.tissue, _OUTSIDE)).mean(axis=(1, 2)),
        seen.reshape(len(seen), SECTORS, -1).mean(axis=2).min(axis=1),
    ]
    return np.stack(columns, axis=1).astype(np.float64)


def _radial(
    picture: NDArray[np.float32], contours: Contours, shares: NDArray[np.float64]
) -> NDArray[np.float32]:
    """Sample at ``shares`` of the radius; float32 of shape (N, shares, angles)."""
    row = contours.rows.mean(axis=1)[:, None, None]
    column = contours.columns.mean(axis=1)[:, None, None]
    rows = row + shares[None, :, None] * (contours.rows[:, None] - row)
    columns = column + shares[None, :, None] * (contours.columns[:, None] - column)
    return sampled(picture, rows.astype(np.float32), columns.astype(np.float32))


def _shape(contours: Contours) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return area, mm², and short over long axis of every rim."""
    r = (contours.rows - contours.rows.mean(axis=1, keepdims=True)) / STRIP_PX_PER_MM
    c = (contours.columns - contours.columns.mean(axis=1, keepdims=True)) / STRIP_PX_PER_MM
    area = 0.5 * np.abs((c * np.roll(r, -1, axis=1) - r * np.roll(c, -1, axis=1)).sum(axis=1))
    rr, cc, rc = (r * r).mean(axis=1), (c * c).mean(axis=1), (r * c).mean(axis=1)
    spread = np.sqrt((rr - cc) ** 2 + 4 * rc**2)
    small, large = (rr + cc - spread) / 2, (rr + cc + spread) / 2
    return area, np.sqrt(np.maximum(small, 1e-9) / np.maximum(large, 1e-9))
