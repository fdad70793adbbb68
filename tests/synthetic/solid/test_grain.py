"""Grain goes, edges between organs and between surfaces stay."""

from __future__ import annotations

import numpy as np
import pytest

from spikecheck.synthetic.solid.grain import without_grain

_SHAPE = (40, 50)


def _grainy(level: float, rng: np.random.Generator) -> np.ndarray:
    grain = 1 + 0.1 * rng.standard_normal((*_SHAPE, 1))
    return np.asarray(level * grain * np.ones((*_SHAPE, 3)), np.float32)


def _flat() -> np.ndarray:
    return np.zeros(_SHAPE, np.float32)


def test_grain_of_an_even_surface_is_at_least_halved() -> None:
    light = _grainy(0.2, np.random.default_rng(1))
    calm = without_grain(light, np.ones(_SHAPE, np.uint16), _flat(), samples=40)
    assert calm.std() < 0.5 * light.std()
    assert calm.mean() == pytest.approx(light.mean(), rel=0.01)


def test_nothing_passes_between_organs_however_small() -> None:
    organ = np.ones(_SHAPE, np.uint16)
    organ[20:24, 10:13] = 2  # an anther of which little shows
    light = np.where(organ[..., None] == 2, 0.22, 0.2).astype(np.float32) * np.ones(3, np.float32)
    calm = without_grain(light, organ, _flat(), samples=40)
    np.testing.assert_allclose(calm, light, rtol=1e-5)


def test_nothing_passes_between_surfaces_at_different_depths() -> None:
    depth = _flat()
    depth[:, 25:] = 3.0
    light = np.where(depth[..., None] > 0, 0.22, 0.2).astype(np.float32) * np.ones(3, np.float32)
    calm = without_grain(light, np.ones(_SHAPE, np.uint16), depth, samples=40)
    np.testing.assert_allclose(calm, light, rtol=1e-5)


def test_a_highlight_hardly_spreads() -> None:
    light = np.full((*_SHAPE, 3), 0.2, np.float32)
    light[10, 10] = 2.0
    calm = without_grain(light, np.ones(_SHAPE, np.uint16), _flat(), samples=40)
    assert calm[10, 11, 0] < 0.22
    assert calm[10, 10, 0] > 1.7


def test_what_no_organ_owns_stays() -> None:
    light = _grainy(0.2, np.random.default_rng(2))
    calm = without_grain(light, np.zeros(_SHAPE, np.uint16), _flat(), samples=40)
    np.testing.assert_array_equal(calm, light)
