"""Peaks: as many as there are bumps, where they are, highest first, and moving with the map."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.networks import find_peaks, sigmoid


def bumps(shape, places, *, height=6.0, spread=1.5, floor=-6.0) -> np.ndarray:
    """Logits of a heat map with a bump at each place; the highest first."""
    rows, columns = np.indices(shape)
    heat = np.full(shape, 1 / (1 + np.exp(-floor)))
    for i, (row, column) in enumerate(places):
        top = 1 / (1 + np.exp(-(height - 0.5 * i)))
        distance = (rows - row) ** 2 + (columns - column) ** 2
        heat = np.maximum(heat, top * np.exp(-distance / (2 * spread**2)))
    return (np.log(heat) - np.log1p(-heat)).astype(np.float32)


def places_of(peaks) -> list[tuple[float, float]]:
    return [(peak.row, peak.column) for peak in peaks]


def test_peaks_are_found_to_fractions_of_a_cell_highest_first():
    true = [(10.0, 12.0), (20.3, 4.7), (30.5, 25.2)]
    peaks = find_peaks(bumps((40, 32), true), least=0.3, apart_cells=3)
    np.testing.assert_allclose(places_of(peaks), true, atol=0.2)
    assert [peak.logit for peak in peaks] == sorted((p.logit for p in peaks), reverse=True)


@given(
    move=st.tuples(st.integers(-8, 8), st.integers(-8, 8)),
    row=st.floats(12, 27), column=st.floats(12, 27),
)  # fmt: skip
@settings(max_examples=50, deadline=None)
def test_peaks_move_with_the_map(move, row, column):
    still = find_peaks(bumps((40, 40), [(row, column)]), least=0.3, apart_cells=3)
    moved = bumps((40, 40), [(row + move[0], column + move[1])])
    found = find_peaks(moved, least=0.3, apart_cells=3)
    assert len(still) == len(found) == 1
    np.testing.assert_allclose(places_of(found)[0], np.add(places_of(still)[0], move), atol=1e-3)


def test_of_two_peaks_too_near_the_higher_stays():
    logits = bumps((30, 30), [(10, 10), (10, 13)], spread=0.6)
    assert len(find_peaks(logits, least=0.3, apart_cells=2)) == 2
    near = find_peaks(logits, least=0.3, apart_cells=3)
    assert places_of(near) == [pytest.approx((10, 10), abs=0.2)]


def test_a_plateau_counts_once_and_low_bumps_not_at_all():
    logits = np.full((20, 20), -9.0, np.float32)
    logits[5:7, 5:7] = 2.0
    logits[15, 15] = -1.0
    assert [peak.cell for peak in find_peaks(logits, least=0.5, apart_cells=3)] == [(5, 5)]


@pytest.mark.parametrize("cell", [(0, 0), (0, 9), (19, 0), (19, 19)])
def test_a_peak_at_the_edge_is_found(cell):
    logits = np.full((20, 20), -9.0, np.float32)
    logits[cell] = 3.0
    assert places_of(find_peaks(logits, least=0.5, apart_cells=3)) == [cell]


def test_the_logistic_function_does_not_overflow():
    values = sigmoid(np.array([-1e4, -2.0, 0.0, 2.0, 1e4], np.float32))
    np.testing.assert_allclose(values, [0, 0.1192029, 0.5, 0.8807971, 1], atol=1e-6)
