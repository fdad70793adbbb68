"""The network-free method reads the bundled demo set rightly, verdict by verdict."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from spikecheck.bundled import bundled_folder
from spikecheck.photo import read_photo
from spikecheck.pipeline import check_photos
from spikecheck.pipeline.finders import default_finder
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import QualityProblem, read_truth

if TYPE_CHECKING:
    from pathlib import Path

THRESHOLDS = load_thresholds()
DEMO = sorted((bundled_folder("synthetic_images") / "demo").glob("*.jpg"))


@pytest.mark.parametrize("image", DEMO, ids=lambda path: path.stem)
def test_verdict_and_problems_of_each_demo_image(image: Path):
    truth = read_truth(image.with_suffix(".json"))
    photo = read_photo(image, thresholds=THRESHOLDS.reading)
    result = check_photos([photo], finder=default_finder(THRESHOLDS), thresholds=THRESHOLDS)
    assert result.verdict is truth.verdict
    assert set(truth.problems or ()) <= set(result.photos[0].quality.problems)
    if not truth.problems:
        assert result.photos[0].quality.usable


@pytest.mark.parametrize(
    "image", [image for image in DEMO if "leftover" in image.stem], ids=lambda path: path.stem
)
def test_a_true_leftover_of_each_leftover_image_is_found(image: Path):
    truth = read_truth(image.with_suffix(".json"))
    photo = read_photo(image, thresholds=THRESHOLDS.reading)
    found = default_finder(THRESHOLDS).find(photo).anthers
    margin = 0.3 * truth.px_per_mm
    assert any(
        true.box.grown(margin).contains(anther.centre) for true in truth.anthers for anther in found
    )


def test_the_demo_set_holds_every_answer():
    truths = [read_truth(image.with_suffix(".json")) for image in DEMO]
    assert sum(truth.verdict == "pass" for truth in truths) >= 5
    assert {anther.stage for truth in truths for anther in truth.anthers} == {
        "green",
        "yellow",
        "dehisced",
    }
    problems = {problem for truth in truths for problem in truth.problems}
    assert {QualityProblem.NO_SPIKE, QualityProblem.DEFOCUS, QualityProblem.DARK} <= problems
