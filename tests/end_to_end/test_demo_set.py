"""The shipped networks read the bundled demo set rightly, verdict by verdict."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from spikecheck.bundled import bundled_folder
from spikecheck.photo import read_photo
from spikecheck.pipeline import check_photos
from spikecheck.pipeline.finders import NetworkFinder, default_finder
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import AntherStage, QualityProblem, Verdict, read_truth

if TYPE_CHECKING:
    from pathlib import Path

THRESHOLDS = load_thresholds()
DEMO = sorted((bundled_folder("synthetic_images") / "demo").glob("*.jpg"))


def test_networks_look_unless_told_otherwise():
    assert isinstance(default_finder(THRESHOLDS), NetworkFinder)


@pytest.mark.parametrize("image", DEMO, ids=lambda path: path.stem)
def test_verdict_and_problems_of_each_demo_image(image: Path):
    truth = read_truth(image.with_suffix(".json"))
    photo = read_photo(image, thresholds=THRESHOLDS.reading)
    result = check_photos([photo], finder=default_finder(THRESHOLDS), thresholds=THRESHOLDS)
    assert result.verdict is truth.verdict
    assert set(truth.problems or ()) <= set(result.photos[0].quality.problems)
    if not truth.problems:
        assert result.photos[0].quality.usable


@pytest.mark.parametrize("stage", AntherStage)
def test_a_true_leftover_of_each_stage_is_found(stage: AntherStage):
    (image,) = [image for image in DEMO if image.stem.startswith(f"leftover_{stage}")]
    truth = read_truth(image.with_suffix(".json"))
    photo = read_photo(image, thresholds=THRESHOLDS.reading)
    found = default_finder(THRESHOLDS).find(photo).anthers
    margin = 0.3 * truth.px_per_mm
    assert any(
        true.box.grown(margin).contains(anther.centre)
        for true in truth.anthers
        for anther in found
        if true.stage is stage
    )


def test_the_demo_set_holds_every_answer():
    truths = [read_truth(image.with_suffix(".json")) for image in DEMO]
    assert sum(truth.verdict is Verdict.PASS for truth in truths) >= 5
    assert {anther.stage for truth in truths for anther in truth.anthers} == set(AntherStage)
    problems = {problem for truth in truths for problem in truth.problems}
    assert {
        QualityProblem.NO_SPIKE, QualityProblem.DEFOCUS, QualityProblem.DARK,
        QualityProblem.CUT_OFF, QualityProblem.OVEREXPOSED, QualityProblem.NOT_PREPARED,
    } <= problems  # fmt: skip
