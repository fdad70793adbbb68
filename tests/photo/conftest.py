"""Small pictures and the files they are saved to."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from PIL import Image
from pillow_heif import register_heif_opener

from spikecheck.thresholds import load_thresholds

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.thresholds import QualityThresholds, ReadingThresholds


@pytest.fixture(scope="session")
def reading() -> ReadingThresholds:
    return load_thresholds().reading


@pytest.fixture(scope="session")
def quality() -> QualityThresholds:
    return load_thresholds().quality


@pytest.fixture(scope="session")
def picture() -> Image.Image:
    """24 rows, 40 columns: red, green, blue and grey quarters, so that every turn is told apart."""
    pixels = np.empty((24, 40, 3), np.uint8)
    pixels[:12, :20] = (200, 40, 40)
    pixels[:12, 20:] = (40, 180, 60)
    pixels[12:, :20] = (50, 60, 190)
    pixels[12:, 20:] = (120, 120, 120)
    return Image.fromarray(pixels)


@pytest.fixture(scope="session")
def encoded() -> Callable[..., bytes]:
    """Return the bytes of an image file in the format asked for."""
    register_heif_opener()

    def encode(image: Image.Image, kind: str, **options: Any) -> bytes:
        file = BytesIO()
        image.save(file, kind, **options)
        return file.getvalue()

    return encode
