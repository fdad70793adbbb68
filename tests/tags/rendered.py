"""Sheets as pixels, and tags for tests."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

import cv2
import pypdfium2

from spikecheck.tags import tag_sheets
from spikecheck.tags.sheets import PAPERS_MM, _place
from spikecheck.vocabulary import CrossTag
from spikecheck.vocabulary.tag_code import new_code
from spikecheck.vocabulary.tag_layout import TAG_HEIGHT_MM, TAG_WIDTH_MM

if TYPE_CHECKING:
    import numpy as np

MM_IN_AN_INCH = 25.4
_FINER = 4


def cross_tag(seed: int = 1, **other: str) -> CrossTag:
    """A tag with a code of its own for every seed."""
    told = {"cross": "C-014", "female": "L12", "male": "L31", **other}
    return CrossTag(code=new_code(random.Random(seed)), spike=seed, **told)


def grey_page(pdf: bytes, number: int = 0, *, px_per_mm: float = 20.0) -> np.ndarray:
    """One page, uint8 grey, white where nothing is printed."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        page = document[number]
        return (
            page.render(scale=px_per_mm * MM_IN_AN_INCH / 72, grayscale=True).to_numpy().squeeze()
        )
    finally:
        document.close()


def first_tag_corner_mm(paper: str = "a4") -> tuple[float, float]:
    """Left and top of the first tag on a sheet, mm from the page's upper left corner."""
    place = _place(*PAPERS_MM[paper])
    return place.left, place.top


def tag_pixels(tag: CrossTag, *, px_per_mm: float = 20.0) -> np.ndarray:
    """The printed tag alone, uint8 grey, cut out true to size.

    Rendered four times finer and averaged: the renderer rounds edges to whole pixels.
    """
    left, top = first_tag_corner_mm()
    width, height = PAPERS_MM["a4"]
    away = (left, height - top - TAG_HEIGHT_MM, width - left - TAG_WIDTH_MM, top)
    document = pypdfium2.PdfDocument(tag_sheets([tag]))
    try:
        fine = document[0].render(
            scale=_FINER * px_per_mm * MM_IN_AN_INCH / 72, grayscale=True,
            crop=tuple(mm * 72 / MM_IN_AN_INCH for mm in away),
        ).to_numpy().squeeze()  # fmt: skip
    finally:
        document.close()
    size = (round(TAG_WIDTH_MM * px_per_mm), round(TAG_HEIGHT_MM * px_per_mm))
    return cv2.resize(fine, size, interpolation=cv2.INTER_AREA)
