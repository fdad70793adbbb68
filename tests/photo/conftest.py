"""Small pictures and the files they are saved to."""

from __future__ import annotations

import dataclasses
from io import BytesIO
from typing import TYPE_CHECKING, Any

import cv2
import numpy as np
import pytest
from PIL import Image
from pillow_heif import register_heif_opener

from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Findings, ModelIdentity, Scale, ScaleSource, Spike

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

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


@pytest.fixture(scope="session")
def leafy() -> Callable[..., NDArray[np.uint8]]:
    """Draw something like tissue: overlapping green blades, with edges in every direction."""

    def draw(rows: int, columns: int, *, seed: int = 0, size_px: float = 30) -> NDArray[np.uint8]:
        rng = np.random.default_rng(seed)
        picture = np.full((rows, columns, 3), (96, 122, 62), np.uint8)
        for _ in range(int(1.6 * rows * columns / size_px**2)):
            centre = (int(rng.integers(columns)), int(rng.integers(rows)))
            axes = (int(rng.uniform(0.5, 1.4) * size_px), int(rng.uniform(0.3, 0.6) * size_px))
            colour = [int(c * rng.uniform(0.55, 1.45)) for c in (96, 122, 62)]
            cv2.ellipse(picture, centre, axes, rng.uniform(0, 180), 0, 360, colour, -1, cv2.LINE_AA)
        return picture

    return draw


@pytest.fixture(scope="session")
def found() -> Callable[..., Findings]:
    """Report one spike that fills the picture but for a margin, its base below."""

    def make(pixels: NDArray[np.uint8], *, px_per_mm: float | None = 25, **changes) -> Findings:
        rows, columns = pixels.shape[:2]
        edge = 8
        spike = Spike(
            outline=np.array(
                [[edge, edge], [edge, columns - edge],
                 [rows - edge, columns - edge], [rows - edge, edge]], float,
            ),
            axis=np.array([[rows - edge, columns / 2], [edge, columns / 2]], float),
            cut_off=changes.pop("cut_off", False),
            hidden_share=changes.pop("hidden_share", 0.0),
        )  # fmt: skip
        scale = None
        if px_per_mm is not None:
            low = changes.pop("low", 0.9 * px_per_mm)
            scale = Scale(px_per_mm, ScaleSource.TAG, low, 1.1 * px_per_mm)
        findings = Findings(
            model=ModelIdentity("fake", "1", "0" * 64), spike=spike, other_spikes=0,
            scale=scale, florets=(), anthers=(), unexplained=0.0,
        )  # fmt: skip
        return dataclasses.replace(findings, **changes)

    return make
