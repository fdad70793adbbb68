"""A verdict comes with a marked picture of each photo and the places to go back to."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from spikecheck.bench_check import judge, judging, take_photo
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Verdict
from tests.made_up_results import reviewed

if TYPE_CHECKING:
    from collections.abc import Callable

    import pytest

    from spikecheck.bench_check import Judged
    from spikecheck.vocabulary import CheckResult

    Picture = Callable[[int], bytes]


def judged(png: Picture, *seeds: int) -> Judged:
    taken = [
        take_photo(png(seed), file=f"{seed}.png", thresholds=load_thresholds()) for seed in seeds
    ]
    return judge(taken, finder=None, thresholds=load_thresholds())  # type: ignore[arg-type]


def pixels_of(picture: bytes) -> np.ndarray:
    return np.asarray(Image.open(BytesIO(picture)).convert("RGB")).astype(int)


def test_photos_are_judged_together_in_the_order_of_taking(png: Picture, answer_review: None):
    answer = judged(png, 2, 1)
    assert [photo.file for photo in answer.result.photos] == ["2.png", "1.png"]
    assert len(answer.overlays) == 2
    assert [one.photo for one in answer.closeups] == [0, 0]


def test_a_pass_has_no_place_to_go_back_to(png: Picture, answer_pass: None):
    answer = judged(png, 1)
    assert answer.result.verdict is Verdict.PASS
    assert answer.closeups == ()
    assert len(answer.overlays) == 1


def test_an_overlay_is_marked_by_the_reasons_of_its_own_photo(
    png: Picture, monkeypatch: pytest.MonkeyPatch
):
    def about(photo: int) -> Callable[..., CheckResult]:
        def answer(photos, **_: object) -> CheckResult:
            result = reviewed(photos)
            outside = replace(result.reasons[1], photo=photo)
            return replace(result, reasons=(outside,))

        return answer

    monkeypatch.setattr(judging, "check_photos", about(0))
    first = judged(png, 1, 2)
    monkeypatch.setattr(judging, "check_photos", about(1))
    second = judged(png, 1, 2)
    for index in (0, 1):
        difference = np.abs(pixels_of(first.overlays[index]) - pixels_of(second.overlays[index]))
        assert difference.max() > 0  # the reason came or went
