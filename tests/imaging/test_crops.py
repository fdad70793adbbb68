"""Crops show the place asked for, whole, whatever the edges."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import UsageError
from spikecheck.imaging.crops import place_crop
from spikecheck.imaging.marks import PAPER
from spikecheck.vocabulary import Photo, Point


def photo(rows, columns):
    row, column = np.mgrid[0:rows, 0:columns]
    pixels = np.stack([row % 256, column % 256, np.full_like(row, 7)], axis=2)
    return Photo("p.jpg", "0" * 64, pixels.astype(np.uint8))


def test_the_middle_is_the_place():
    crop = place_crop(photo(100, 100), Point(40, 60), side_px=11)
    assert crop.shape == (11, 11, 3)
    assert crop[5, 5].tolist() == [40, 60, 7]


def test_beyond_the_edge_is_dark_grey():
    crop = place_crop(photo(10, 10), Point(0, 0), side_px=9)
    assert tuple(crop[0, 0]) == PAPER
    assert crop[4, 4].tolist() == [0, 0, 7]


@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6), st.integers(1, 40))
def test_any_place_gives_a_square(row, column, side_px):
    crop = place_crop(photo(3, 5), Point(row, column), side_px=side_px)
    assert crop.shape == (side_px, side_px, 3)


def test_a_crop_without_pixels_is_refused():
    with pytest.raises(UsageError, match="at least 1 px wide, got 0"):
        place_crop(photo(3, 3), Point(1, 1), side_px=0)
