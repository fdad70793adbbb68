"""Valid records in one line, for tests: spikes upright in a photo of 400 x 1000 px, 10 px/mm."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.vocabulary import (
    Anther,
    AntherStage,
    Box,
    Calibration,
    Findings,
    Floret,
    ModelIdentity,
    Photo,
    PhotoQuality,
    Point,
    QualityProblem,
    Scale,
    ScaleSource,
    Side,
    Spike,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

MODEL = ModelIdentity("made up for tests", "0", "0" * 64)
WIDTH, HEIGHT = 400, 1000
_SIDE_OF = {side.letter: side for side in Side}
_COLUMN_OF = {Side.LEFT: 150.0, Side.RIGHT: 250.0, Side.FRONT: 200.0}


def floret(
    id: str,  # noqa: A002
    *,
    clipped: bool = True,
    cavity_seen: float = 1.0,
    p_anther: float | None = None,
) -> Floret:
    """A floret of side ``id[0]``, number ``id[1:]``; 40 px above the one below."""
    side, number = _SIDE_OF[id[0]], int(id[1:])
    centre = Point(900.0 - 40.0 * number, _COLUMN_OF[side])
    box = around(centre, 15)
    return Floret(id, centre, box, side, number / 25, clipped, cavity_seen, p_anther)


def florets(count: int = 5, **kind: float) -> tuple[Floret, ...]:
    """``count`` florets on the left and as many on the right."""
    return tuple(
        floret(f"{letter}{number}", **kind)  # type: ignore[arg-type]
        for letter in "LR"
        for number in range(1, count + 1)
    )


def anther(
    floret_id: str | None = "L3",
    *,
    stage: AntherStage = AntherStage.GREEN,
    near_anthesis: bool = False,
    broken: bool = False,
    score: float = 0.9,
    at: Point | None = None,
) -> Anther:
    """An anther in the middle of its floret, or at ``at``."""
    centre = at or (Point(30.0, 30.0) if floret_id is None else floret(floret_id).centre)
    return Anther(floret_id, centre, around(centre, 8), 2.5, stage, near_anthesis, broken, score)


def around(centre: Point, half_px: float) -> Box:
    """A square box around ``centre``."""
    return Box(
        centre.row - half_px, centre.column - half_px, centre.row + half_px, centre.column + half_px
    )


def spike() -> Spike:
    """An upright spike, base below."""
    return Spike(
        np.array([(60.0, 130.0), (60.0, 270.0), (900.0, 270.0), (900.0, 130.0)]),
        np.array([(900.0, 200.0), (60.0, 200.0)]),
        cut_off=False,
        hidden_share=0.0,
    )


def findings(
    florets_seen: Sequence[Floret] | None = None,
    anthers: Sequence[Anther] = (),
    *,
    unexplained: float = 0.0,
    with_spike: bool = True,
    scale: Scale | None = None,
    unfamiliar: bool = False,
    calibration: Calibration | None = None,
) -> Findings:
    """A clean spike of ten florets unless told otherwise."""
    return Findings(
        MODEL,
        spike() if with_spike else None,
        0,
        scale or Scale(10.0, ScaleSource.ESTIMATE, 9.0, 11.0),
        tuple(florets() if florets_seen is None else florets_seen),
        tuple(anthers),
        unexplained,
        unfamiliar,
        calibration,
    )


def calibration(
    pass_score_most: float = 0.3, *, spikes: int = 399, passed: int = 1, alpha: float = 0.01
) -> Calibration:
    """A calibration that keeps its promise."""
    bound = (passed + 1) / (spikes + 1)
    return Calibration("made up for tests", pass_score_most, spikes, passed, alpha, bound, "1" * 64)


def quality(
    *problems: QualityProblem, usable: bool | None = None, measures: Mapping[str, float] = {}
) -> PhotoQuality:
    """A good photo, or one with problems, which is then not usable unless told otherwise."""
    return PhotoQuality(not problems if usable is None else usable, problems, measures)


def photo(name: str = "spike.jpg") -> Photo:
    """A grey photo; its digest is that of its name."""
    pixels = np.full((HEIGHT, WIDTH, 3), 128, np.uint8)
    return Photo(name, hashlib.sha256(name.encode()).hexdigest(), pixels)
