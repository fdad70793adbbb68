"""Blur of the sharpest edge against the closed form of a Gaussian step.

The slope of a step of height h under a Gaussian of sigma s is at most h / (s sqrt(2 pi)); Gaussian
variances add, and the measure's own smoothing has variance 1 and its slope over two pixels 1/3.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtr

from spikecheck.segmentation.edge_blur import edge_blur_px

COLUMNS = np.arange(61) - 30.0  # the edge lies on a pixel


def step(sigma_px: float, *, low: float = 30.0, high: float = 80.0) -> np.ndarray:
    """A strip whose lightness rises from ``low`` to ``high`` in the middle."""
    share = ndtr(COLUMNS / sigma_px)
    lab = np.zeros((80, 61, 3), np.float32)
    lab[..., 0] = low + (high - low) * share
    return lab


@pytest.mark.parametrize("sigma", [0.5, 1.0, 2.0, 3.2, 5.0])
@pytest.mark.parametrize("turned", [False, True])
def test_a_blurred_step_reads_its_sigma(sigma, turned):
    lab = step(sigma)
    if turned:
        lab = np.ascontiguousarray(lab.transpose(1, 0, 2))
    assert edge_blur_px(lab) == pytest.approx(np.sqrt(sigma**2 + 4 / 3), rel=0.03)


def test_the_height_of_the_step_does_not_matter():
    assert edge_blur_px(step(2.0, low=50, high=55)) == pytest.approx(
        edge_blur_px(step(2.0)), rel=1e-3
    )


def test_the_sharpest_edge_counts():
    both = np.concatenate([step(6.0), step(1.0)])
    assert edge_blur_px(both) == pytest.approx(edge_blur_px(step(1.0)), rel=0.03)


def test_without_an_edge_nothing_is_sharp():
    assert edge_blur_px(np.full((40, 40, 3), 50, np.float32)) == float("inf")
