"""Photos of nothing, and results that no check gave, for tests of what is done with a result."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from spikecheck.vocabulary import (
    Box,
    CheckResult,
    Findings,
    Floret,
    FloretStatus,
    JudgedFloret,
    ModelIdentity,
    PhotoQuality,
    PhotoResult,
    Point,
    Reason,
    Risk,
    Side,
    Spike,
    Verdict,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.vocabulary import Photo

_MODEL = ModelIdentity("made up for tests", "0", "0" * 64)


def made_up_png(seed: int) -> bytes:
    """A small PNG; another seed, another picture."""
    pixels = np.random.default_rng(seed).integers(0, 255, (160, 120, 3), np.uint8)
    file = BytesIO()
    Image.fromarray(pixels).save(file, "PNG")
    return file.getvalue()


def passed(photos: Sequence[Photo], **_: object) -> CheckResult:
    """Answer pass, whatever the photos show."""
    return _result(photos, Verdict.PASS, (), FloretStatus.CLEAR)


def reviewed(photos: Sequence[Photo], **_: object) -> CheckResult:
    """Answer review: an anther in L2 of the first photo, and one outside the florets."""
    reasons = (
        Reason("anther_left", "Green anther in floret L2.", 0, "L2", Point(50, 40)),
        Reason("anther_outside_floret", "Green anther outside the florets.", 0, None, Point(9, 9)),
        Reason("one_face_only", "Only one face was photographed."),
    )
    return _result(photos, Verdict.REVIEW, reasons, FloretStatus.ANTHER)


def _result(
    photos: Sequence[Photo], verdict: Verdict, reasons: tuple[Reason, ...], status: FloretStatus
) -> CheckResult:
    floret = Floret("L2", Point(50, 40), Box(40, 30, 60, 50), Side.LEFT, 0.3, True, 1.0)
    spike = Spike(
        np.array([(20.0, 40.0), (20.0, 80.0), (140.0, 80.0), (140.0, 40.0)]),
        np.array([(140.0, 60.0), (20.0, 60.0)]),
        cut_off=False,
        hidden_share=0.0,
    )
    findings = Findings(_MODEL, spike, 0, None, (floret,), (), 0.0)
    judged = JudgedFloret(floret, status, 0.5)
    return CheckResult(
        verdict,
        reasons,
        Risk(0.5, None, calibrated=False),
        tuple(
            PhotoResult(
                photo.file, photo.sha256, photo.width, photo.height, photo.taken_at,
                PhotoQuality(usable=True, problems=()), findings, (judged,),
            )
            for photo in photos
        ),
        {"total": 1.0},
        "0",
    )  # fmt: skip
