"""Close-ups show the floret or the place that a reason points at."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image

from spikecheck.bench_check import cut_closeups
from spikecheck.vocabulary import Photo, Point, Reason
from tests.made_up_results import reviewed

if TYPE_CHECKING:
    from numpy.typing import NDArray


def photo_with_a_dot(row: int, column: int, *, rows: int = 160, columns: int = 120) -> Photo:
    pixels = np.zeros((rows, columns, 3), np.uint8)
    pixels[row - 2 : row + 3, column - 2 : column + 3] = 255
    return Photo("dot.png", "0" * 64, pixels)


def pixels_of(picture: bytes) -> NDArray[np.uint8]:
    return np.asarray(Image.open(BytesIO(picture)).convert("RGB"))


@pytest.mark.parametrize(("row", "column", "closeup"), [(50, 40, 0), (9, 9, 1)])
def test_the_place_is_in_the_middle(row: int, column: int, closeup: int):
    photo = photo_with_a_dot(row, column)
    cut = cut_closeups([photo], reviewed([photo]))
    bright = np.argwhere(pixels_of(cut[closeup].picture)[..., 0] > 128)
    side = pixels_of(cut[closeup].picture).shape[0]
    np.testing.assert_allclose(bright.mean(axis=0), (side - 1) / 2, atol=1.0)


def test_each_place_comes_once_in_the_order_of_the_reasons():
    photo = photo_with_a_dot(50, 40)
    result = reviewed([photo])
    twice = (*result.reasons, Reason("floret_not_clipped", "Clip it.", 0, "L2", Point(50, 40)))
    cut = cut_closeups([photo], replace(result, reasons=twice))
    assert [one.floret and one.floret.floret.id for one in cut] == ["L2", None]
    assert [reason.message for reason in cut[0].reasons] == [
        "Green anther in floret L2.",
        "Clip it.",
    ]
