"""The square and the tensor: where things lie, and the way back to the photo."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.networks import OVERVIEW_SIDE_PX, cell_centres_px, letterbox, strip_tensor

SIDES = st.integers(1, 2300)


@given(height=SIDES, width=SIDES)
@settings(max_examples=60, deadline=None)
def test_places_of_the_square_lie_in_the_photo(height, width):
    image, place = letterbox(np.zeros((height, width, 3), np.uint8))
    assert image.shape == (1, 3, OVERVIEW_SIDE_PX, OVERVIEW_SIDE_PX)
    assert 1 <= place.rows <= OVERVIEW_SIDE_PX
    assert 1 <= place.columns <= OVERVIEW_SIDE_PX
    assert max(place.rows, place.columns) >= OVERVIEW_SIDE_PX - 1
    first, end = place.to_photo(np.array([[0, 0], [place.rows, place.columns]]) - 0.5) + 0.5
    np.testing.assert_allclose(first, 0, atol=1e-6)
    lost = np.array([height, width]) - end  # halving twice at most loses three odd rows or columns
    assert (lost > -1e-6).all()
    assert (lost < 3 + 1e-6).all()
    assert (image[0, :, : place.rows, : place.columns] == 0).all()
    assert (image[0, :, place.rows :] == 0.5).all()
    assert (image[0, :, :, place.columns :] == 0.5).all()


@pytest.mark.parametrize(
    "shape", [(4000, 3000), (3001, 4003), (1023, 700), (512, 400), (300, 200), (90, 2100)]
)
def test_a_mark_in_the_photo_is_where_the_letterbox_says(shape):
    photo = np.zeros((*shape, 3), np.uint8)
    half = max(4, min(shape) // 20)
    centre = np.array([shape[0] * 0.6, shape[1] * 0.3]).round()
    rows, columns = (slice(max(0, int(c) - half), int(c) + half + 1) for c in centre)
    photo[rows, columns] = 255
    image, place = letterbox(photo)
    light = image[0, 1, : place.rows, : place.columns].astype(float)
    mean = np.array([(np.indices(light.shape)[i] * light).sum() / light.sum() for i in (0, 1)])
    true = np.array([(part.start + part.stop - 1) / 2 for part in (rows, columns)])
    true = np.minimum(true, np.array(shape) - 1)
    np.testing.assert_allclose(place.to_photo(mean), true, atol=1.0 + 0.3 / place.row_zoom)


def test_brightness_is_kept_when_a_photo_is_reduced():
    rng = np.random.default_rng(3)
    photo = rng.integers(0, 256, (2400, 1800, 3), dtype=np.uint8)
    image, place = letterbox(photo)
    seen = image[0, :, : place.rows, : place.columns].mean(axis=(1, 2))
    np.testing.assert_allclose(seen, photo.mean(axis=(0, 1)) / 255, atol=0.003)


def test_a_strip_is_planes_from_0_to_1():
    pixels = np.arange(2 * 3 * 3, dtype=np.uint8).reshape(2, 3, 3) * 15
    tensor = strip_tensor(pixels)
    assert (tensor.shape, tensor.dtype) == ((1, 3, 2, 3), np.float32)
    np.testing.assert_allclose(tensor[0, 2], pixels[..., 2] / 255, rtol=1e-6)


def test_the_first_cell_covers_the_first_four_pixels():
    assert cell_centres_px(np.array([0.0, 1.0])).tolist() == [1.5, 5.5]
