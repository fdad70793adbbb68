"""Blur read off edges, against the closed form and against the slanted-edge method."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from scipy.special import erf

from spikecheck.photo.edges import LEAST_RESOLVED_PX, find_edges, typical_variance_px2
from spikecheck.photo.focus import MTF50_TIMES_SIGMA


def slanted_edge(sigma_px, *, degrees=5.0, noise=0.0, low=70, high=170, size=400):
    """A straight edge blurred by a Gaussian, computed exactly, 8 bit."""
    rows, columns = np.indices((size, size)) - (size - 1) / 2
    turn = np.deg2rad(degrees)
    away = columns * np.cos(turn) + rows * np.sin(turn)
    light = low + (high - low) * 0.5 * (1 + erf(away / (np.sqrt(2) * sigma_px)))
    light += np.random.default_rng(5).normal(0, noise, light.shape) if noise else 0
    return np.clip(np.rint(light), 0, 255).astype(np.uint8)


def estimated_sigma_px(grey, *, shrinks=(1, 2, 4)):
    """Largest answer of the scales that resolve the blur, as the focus of a tile is told."""
    answers = [(scale_sigma_px(grey, shrink=shrink), shrink) for shrink in shrinks]
    finest = answers[0][0]
    return max([finest, *(s for s, shrink in answers[1:] if s >= LEAST_RESOLVED_PX * shrink)])


def scale_sigma_px(grey, *, shrink, least_contrast=0.08):
    rows, columns = (size // shrink for size in grey.shape)
    whole = grey[: rows * shrink, : columns * shrink]
    small = cv2.resize(whole, (columns, rows), interpolation=cv2.INTER_AREA)
    mask = np.zeros(small.shape, bool)
    mask[10:-10, 10:-10] = True
    edges = find_edges(small, mask, shrink=shrink)
    chosen = np.arange(len(edges.rows))
    return float(np.sqrt(typical_variance_px2(edges, chosen, least_contrast=least_contrast)))


def slanted_edge_mtf50(grey):
    """MTF50 by the slanted-edge method of ISO 12233: project, bin by quarters of a pixel,
    differentiate, transform. Written from the method's description for this test alone."""
    rows, columns = np.indices(grey.shape) - (grey.shape[0] - 1) / 2
    turn = np.deg2rad(5)
    away = (columns * np.cos(turn) + rows * np.sin(turn)).ravel()
    near = np.abs(away) < 60
    bins = np.floor(away[near] * 4).astype(int) + 240
    sums = np.bincount(bins, weights=grey.ravel()[near].astype(float), minlength=480)
    edge = sums / np.bincount(bins, minlength=480)
    spread = np.diff(edge)
    response = np.abs(np.fft.rfft(spread, 8192))
    frequency = np.fft.rfftfreq(8192, d=0.25)
    # Binning and differencing each average over a quarter of a pixel.
    response /= np.maximum(np.sinc(frequency / 4) ** 2, 0.1)
    below = np.argmax(response < response[0] / 2)
    return frequency[below]


def test_the_constant_of_the_closed_form():
    """MTF50 = sqrt(ln 2 / 2) / pi / sigma = 0.1874 / sigma for a Gaussian (calculated)."""
    assert pytest.approx(0.1874, abs=5e-5) == MTF50_TIMES_SIGMA
    frequency = MTF50_TIMES_SIGMA / 2.0
    assert np.exp(-2 * np.pi**2 * 2.0**2 * frequency**2) == pytest.approx(0.5)


@pytest.mark.parametrize("sigma_px", [0.7, 0.8, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0])
def test_mtf50_of_a_slanted_edge_against_the_closed_form(sigma_px):
    """A 5-degree edge blurred by s px has MTF50 = 0.1874 / s cycles/px."""
    mtf50 = MTF50_TIMES_SIGMA / estimated_sigma_px(slanted_edge(sigma_px))
    assert mtf50 == pytest.approx(0.1874 / sigma_px, rel=0.06)


@pytest.mark.parametrize("sigma_px", [1.0, 2.0, 4.0])
def test_mtf50_against_the_slanted_edge_method(sigma_px):
    picture = slanted_edge(sigma_px)
    reference = slanted_edge_mtf50(picture)
    assert reference == pytest.approx(0.1874 / sigma_px, rel=0.03)
    mtf50 = MTF50_TIMES_SIGMA / estimated_sigma_px(picture)
    assert mtf50 == pytest.approx(reference, rel=0.08)


@pytest.mark.parametrize("shrink", [2, 3, 5])
def test_a_picture_made_smaller_tells_the_blur_of_the_photo(shrink):
    sigma_px = 1.6 * shrink
    found = scale_sigma_px(slanted_edge(sigma_px), shrink=shrink)
    assert found == pytest.approx(sigma_px, rel=0.06)


@pytest.mark.parametrize("noise", [1.0, 3.0])
def test_moderate_noise_changes_little(noise):
    found = estimated_sigma_px(slanted_edge(2.0, noise=noise))
    assert found == pytest.approx(2.0, rel=0.08)


@pytest.mark.parametrize("degrees", [5, 30, 45, 60, 85, 135, 185, 275])
def test_the_direction_of_the_edge_does_not_matter(degrees):
    found = estimated_sigma_px(slanted_edge(2.0, degrees=degrees))
    assert found == pytest.approx(2.0, rel=0.06)


@pytest.mark.parametrize("degrees", [0, 90, 180, 270])
def test_an_edge_along_the_rows_of_pixels_seems_a_little_wider(degrees):
    """Its middle lies between two rows all along: the case that slanted edges avoid."""
    found = estimated_sigma_px(slanted_edge(2.0, degrees=degrees))
    assert 2.0 <= found < 2.0 * 1.6


@pytest.mark.parametrize(("low", "high"), [(10, 60), (100, 130), (180, 250), (170, 70)])
def test_brightness_and_contrast_do_not_matter(low, high):
    found = estimated_sigma_px(slanted_edge(2.0, low=low, high=high))
    assert found == pytest.approx(2.0, rel=0.08)


def test_an_edge_that_does_not_move_in_the_picture_is_told_at_its_place():
    grey = slanted_edge(1.0, degrees=0)
    edges = find_edges(grey, np.ones(grey.shape, bool), shrink=1)
    assert set(edges.columns) <= {199, 200}
    assert np.abs(np.sin(edges.angle)).max() < 0.05


def test_noise_alone_is_no_edge():
    noise = np.random.default_rng(6).normal(120, 6, (300, 300))
    grey = np.clip(noise, 0, 255).astype(np.uint8)
    edges = find_edges(grey, np.ones(grey.shape, bool), shrink=1)
    assert len(edges.rows) < 0.002 * grey.size


def test_faint_edges_tell_nothing():
    """What JPEG blocks leave in a blank picture is sharp and faint."""
    assert np.isnan(scale_sigma_px(slanted_edge(0.7, low=100, high=105), shrink=1))
    assert np.isnan(scale_sigma_px(np.full((100, 100), 90, np.uint8), shrink=1))


@pytest.mark.parametrize("radius_px", [3, 4, 6])
def test_the_flat_blur_of_a_lens_seems_wider_never_narrower(radius_px):
    """A disc of radius r has the variance r^2 / 4 along any direction."""
    reach = np.arange(-radius_px - 1, radius_px + 1.01, 0.1)
    fine = (np.hypot(*np.meshgrid(reach, reach)) <= radius_px).astype(np.float32)
    disc = cv2.resize(fine, (2 * radius_px + 3,) * 2, interpolation=cv2.INTER_AREA)
    light = slanted_edge(0.5).astype(np.float32)
    blurred = np.rint(cv2.filter2D(light, -1, disc / disc.sum())).clip(0, 255).astype(np.uint8)
    assert 0.95 < estimated_sigma_px(blurred) / (radius_px / 2) < 1.6


def test_one_scale_answers_at_most_three_of_its_pixels():
    assert scale_sigma_px(slanted_edge(8), shrink=1) == pytest.approx(3, abs=0.1)
