"""Close-ups show the floret or the place that a reason points at."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image

from closeups import cut_closeups, preview
from spikecheck.vocabulary import Photo, Point, Reason

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from spikecheck.vocabulary import CheckResult

    Review = Callable[..., CheckResult]


def photo_with_a_dot(row: int, column: int, *, rows: int = 160, columns: int = 120) -> Photo:
    pixels = np.zeros((rows, columns, 3), np.uint8)
    pixels[row - 2 : row + 3, column - 2 : column + 3] = 255
    return Photo("dot.png", "0" * 64, pixels)


def pixels_of(picture: bytes) -> NDArray[np.uint8]:
    return np.asarray(Image.open(BytesIO(picture)).convert("RGB"))


@pytest.mark.parametrize(("row", "column", "closeup"), [(50, 40, 0), (9, 9, 1)])
def test_the_place_is_in_the_middle(review: Review, row: int, column: int, closeup: int):
    photo = photo_with_a_dot(row, column)
    cut = cut_closeups([photo], review([photo]))
    bright = np.argwhere(pixels_of(cut[closeup].picture)[..., 0] > 128)
    side = pixels_of(cut[closeup].picture).shape[0]
    np.testing.assert_allclose(bright.mean(axis=0), (side - 1) / 2, atol=1.0)


def test_each_place_comes_once_in_the_order_of_the_reasons(review: Review):
    photo = photo_with_a_dot(50, 40)
    result = review([photo])
    twice = (*result.reasons, Reason("floret_not_clipped", "Clip it.", 0, "L2", Point(50, 40)))
    cut = cut_closeups([photo], replace(result, reasons=twice))
    assert [one.floret and one.floret.floret.id for one in cut] == ["L2", None]
    assert [reason.message for reason in cut[0].reasons] == [
        "Green anther in floret L2.",
        "Clip it.",
    ]


@pytest.mark.parametrize(("rows", "columns"), [(3000, 20), (20, 3000), (5, 5)])
def test_a_preview_is_small_and_keeps_the_shape(rows: int, columns: int):
    shown = pixels_of(preview(Photo("a", "0" * 64, np.zeros((rows, columns, 3), np.uint8))))
    assert max(shown.shape) <= 480
    assert (shown.shape[0] >= shown.shape[1]) == (rows >= columns)
