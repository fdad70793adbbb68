"""A tiny photo set for tests: a green bar as the spike, florets as rings, anthers as ellipses."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.vocabulary import (
    AntherStage,
    Box,
    PhotoTruth,
    Point,
    QualityProblem,
    Side,
    TrueAnther,
    TrueFloret,
    write_truth,
)

if TYPE_CHECKING:
    from pathlib import Path

ROWS, COLUMNS, PX_PER_MM = 240, 200, 10.0
_COLOURS = ((90, 190, 80), (220, 200, 60), (240, 240, 220))  # green, yellow, dehisced
_BODY = (60, 130, 50)


def paint(folder: Path, name: str, *, seed: int = 0, anthers: int = 2, **truth) -> PhotoTruth:
    """Write one photo of 240 x 200 px at 10 px/mm, its class map and its truth."""
    rng = np.random.default_rng(seed)
    pixels = np.full((ROWS, COLUMNS, 3), rng.integers(90, 200, 3), np.uint8)
    classes = np.zeros((ROWS, COLUMNS), np.uint8)
    middle = int(rng.integers(80, 120))
    for picture, colour in ((pixels, _BODY), (classes, 1)):
        cv2.rectangle(picture, (middle - 30, 30), (middle + 30, 210), colour, -1)
    florets, marks = [], []
    for number in range(6):
        row, side = 50 + 28 * number, number % 2
        column = middle + (18 if side else -18)
        cv2.ellipse(pixels, (column, row), (11, 8), 0, 0, 360, (30, 70, 25), -1)
        cv2.ellipse(pixels, (column, row), (11, 8), 0, 0, 360, (200, 220, 180), 2)
        florets.append(TrueFloret(
            id=f"{'R' if side else 'L'}{number // 2 + 1}", centre=Point(row, column),
            box=Box(row - 9, column - 12, row + 10, column + 13),
            side=Side.RIGHT if side else Side.LEFT, position=1 - (row - 30) / 180,
            clipped=number != 5, cavity_visible=0.9,
        ))  # fmt: skip
        if number < anthers:
            stage = (seed + number) % 3
            for picture, colour in ((pixels, _COLOURS[stage]), (classes, 3 + stage)):
                cv2.ellipse(picture, (column, row), (7, 3), 0, 0, 360, colour, -1)
            marks.append(TrueAnther(
                centre=Point(row, column), box=Box(row - 3, column - 7, row + 4, column + 8),
                floret=florets[-1].id, stage=tuple(AntherStage)[stage], near_anthesis=stage > 0,
                broken=False, length_mm=1.5, visible_share=1.0, visible_area_mm2=0.66,
            ))  # fmt: skip
    entry = {
        "image": f"{name}.jpg", "width": COLUMNS, "height": ROWS, "anthers": tuple(marks),
        "florets": tuple(florets), "problems": (), "px_per_mm": PX_PER_MM,
        "axis": (Point(210, middle), Point(120, middle), Point(30, middle)), "families": {},
    }  # fmt: skip
    whole = PhotoTruth(**{**entry, **truth})
    folder.mkdir(exist_ok=True, parents=True)
    cv2.imwrite(str(folder / f"{name}.jpg"), pixels[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 95])
    cv2.imwrite(str(folder / f"{name}.classes.png"), classes)
    write_truth(whole, folder / f"{name}.json")
    return whole


def paint_set(folder: Path, count: int = 6) -> Path:
    """Write a set: with and without anthers, one dark photo, one without a spike."""
    for number in range(count - 2):
        light = {"light": "sun" if number % 2 else "led"}
        paint(folder, f"a{number}", seed=number, anthers=2 * (number % 2), families=light)
    paint(folder, "dark", problems=(QualityProblem.DARK,), families={"light": "led"})
    _empty(folder)
    return folder


def _empty(folder: Path) -> None:
    pixels = np.full((100, 140, 3), 120, np.uint8)
    cv2.imwrite(str(folder / "empty.jpg"), pixels)
    cv2.imwrite(str(folder / "empty.classes.png"), np.zeros((100, 140), np.uint8))
    truth = PhotoTruth(
        "empty.jpg", 140, 100, (), florets=(), problems=(QualityProblem.NO_SPIKE,),
        families={"light": "led"},
    )  # fmt: skip
    write_truth(truth, folder / "empty.json")
