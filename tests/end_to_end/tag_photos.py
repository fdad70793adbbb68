"""Photos of prepared spikes with a printed tag laid beside them, cut out of a printed sheet."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import cv2
import numpy as np
import pypdfium2

from spikecheck.tags.sheets import COLUMNS, PAPERS_MM, _place
from spikecheck.vocabulary.tag_layout import TAG_HEIGHT_MM, TAG_WIDTH_MM

if TYPE_CHECKING:
    from numpy.typing import NDArray

DEMO = Path(__file__).resolve().parents[2] / "synthetic_images" / "demo"
_MM_IN_AN_INCH = 25.4
_ASIDE_MM = TAG_HEIGHT_MM + 4.0  # free room beside the spike
_PAPER_IN_LIGHT = 0.8  # of white, as paper looks in a photo that is not overexposed


def tag_of_sheet(pdf: Path, number: int, *, px_per_mm: float) -> NDArray[np.uint8]:
    """The tag at place ``number`` (from 0) of the first sheet, uint8 grey, true to size."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        page = document[0].render(scale=px_per_mm * _MM_IN_AN_INCH / 72, grayscale=True)
        pixels = page.to_numpy().squeeze()
    finally:
        document.close()
    place = _place(*PAPERS_MM["a4"])
    top = place.top + (number // COLUMNS) * TAG_HEIGHT_MM
    left = place.left + (number % COLUMNS) * TAG_WIDTH_MM
    rows = slice(round(top * px_per_mm), round((top + TAG_HEIGHT_MM) * px_per_mm))
    columns = slice(round(left * px_per_mm), round((left + TAG_WIDTH_MM) * px_per_mm))
    return np.ascontiguousarray(pixels[rows, columns])


def photo_with_tag(
    demo: str, tag: NDArray[np.uint8], path: Path, *, mirrored: bool = False
) -> Path:
    """Write a demo photo, made wider, with ``tag`` (of the photo's px/mm) upright beside the spike.

    Mirrored it stands for the other face of the spike.
    """
    photo = cv2.imread(str(DEMO / f"{demo}.jpg"))
    assert photo is not None
    if mirrored:
        photo = cv2.flip(photo, 1)
    px_per_mm = scale_of(demo)
    aside = round(_ASIDE_MM * px_per_mm)
    wide = cv2.copyMakeBorder(photo, 0, 0, 0, aside, cv2.BORDER_REPLICATE)
    wide[:, -aside:] = cv2.GaussianBlur(wide[:, -aside:], (0, 0), 15)
    upright = cv2.rotate(tag, cv2.ROTATE_90_CLOCKWISE)
    rows = min(upright.shape[0], wide.shape[0] - 40)
    # The end with the symbol stays in the picture where the tag is longer than it.
    shown = upright[:rows].astype(np.float32) * _PAPER_IN_LIGHT
    left = wide.shape[1] - aside + round(2 * px_per_mm)
    wide[20 : 20 + rows, left : left + upright.shape[1]] = shown[..., None]
    assert cv2.imwrite(str(path), wide, [cv2.IMWRITE_JPEG_QUALITY, 92])
    return path


def scale_of(demo: str) -> float:
    """True px/mm of a demo photo."""
    truth = json.loads((DEMO / f"{demo}.json").read_text(encoding="utf-8"))
    return float(truth["px_per_mm"])
