"""Limits of the networks: best apart, wide enough, seldom strange."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from spikecheck.model_training import tune_network
from spikecheck.model_training.looked_at_set import Networks
from spikecheck.model_training.tune_network import (
    ANTHER_LEAST,
    Answer,
    ask_networks,
    tuned_florets,
    tuned_overview,
)
from spikecheck.networks import FloretsTuned, OverviewTuned, read_manifest
from spikecheck.vocabulary import PhotoTruth, QualityProblem, write_truth
from tests.networks.colour_networks import (
    FLORETS_TUNED,
    OVERVIEW_TUNED,
    save_florets,
    save_overview,
)
from tests.pipeline.test_network_finder import painted

BEFORE = OverviewTuned(**OVERVIEW_TUNED)


def answer(*problems, whole=(0.9, *[0.1] * 7), strange=1.0, error=0.0, deviation=0.1):
    truth = PhotoTruth("a.jpg", 400, 1000, (), problems=problems, px_per_mm=10.0)
    return Answer(truth, whole, (strange, strange), error, deviation)


def midway(low, high):
    """The probability whose odds are the geometric mean of two others'."""
    odds = np.sqrt(low / (1 - low) * high / (1 - high))
    return odds / (1 + odds)


def test_each_problem_gets_its_own_limit():
    def whole(**raised):
        names = (
            "close", "several", "cut_off", "occluded", "not_prepared", "defocus", "motion", "badly",
        )  # fmt: skip
        usual = {"close": 0.9}
        return tuple(raised.get(name, usual.get(name, 0.1)) for name in names)

    answers = [answer(whole=whole(), error=0.2 * n / 60, strange=float(n)) for n in range(250)]
    answers += [answer(QualityProblem.CUT_OFF, whole=whole(cut_off=0.3))] * 9
    answers += [answer(QualityProblem.NOT_PREPARED, whole=whole(not_prepared=0.7))] * 9
    answers += [answer(QualityProblem.NO_SPIKE, whole=whole(close=0.2, several=1.0))] * 9
    answers += [answer(QualityProblem.DEFOCUS, whole=whole(defocus=0.8))] * 5
    answers += [answer(QualityProblem.MOTION, whole=whole(defocus=0.2, motion=0.8))] * 4
    tuned = tuned_overview(answers, BEFORE)
    assert tuned.cut_off_least == pytest.approx(midway(0.1, 0.3))
    assert tuned.not_prepared_least == pytest.approx(midway(0.1, 0.7))
    assert tuned.spike_close_least == pytest.approx(midway(0.2, 0.9))
    assert tuned.blurred_least == pytest.approx(midway(0.1, 0.8))
    assert tuned.several_least == BEFORE.several_least  # nothing shows several spikes
    assert tuned.spike_least == BEFORE.spike_least


def test_bounds_of_the_scale_hold_and_strangeness_is_seldom():
    rng = np.random.default_rng(1)
    errors = rng.normal(0, 0.2, 2000)
    answers = [answer(error=e, strange=s) for e, s in zip(errors, rng.random(2000), strict=True)]
    tuned = tuned_overview(answers, BEFORE)
    assert tuned.scale_widening == pytest.approx(2 * 1.96, rel=0.07)  # twice the said deviation
    assert tuned.strangeness_most == pytest.approx(0.995, abs=0.005)
    florets = tuned_florets(answers, FloretsTuned(**FLORETS_TUNED))
    assert florets.strangeness_most == tuned.strangeness_most
    before = FloretsTuned(**FLORETS_TUNED)
    assert replace(florets, strangeness_most=10.0, anther_least=before.anther_least) == before


def test_photos_that_cannot_be_judged_widen_nothing():
    bad = [answer(QualityProblem.DEFOCUS, error=9.0, strange=99.0)] * 400
    good = [answer(error=0.05)] * 400
    tuned = tuned_overview([*good, *bad], BEFORE)
    assert tuned.scale_widening == pytest.approx(0.5)
    assert tuned.strangeness_most == 1.0


@pytest.fixture
def models(tmp_path):
    folder = tmp_path / "models"
    save_overview(folder, px_per_mm_in_square=16.0 * 512 / 1600, strangeness=3.0)
    save_florets(folder, strangeness=4.0)
    return folder


def test_both_networks_are_asked_and_their_manifests_written(models, tmp_path):
    photos = tmp_path / "set"
    photos.mkdir()
    Image.fromarray(painted().pixels).save(photos / "a.png")
    write_truth(PhotoTruth("a.png", 1200, 1600, (), px_per_mm=20.0), photos / "a.json")
    (only,) = ask_networks(photos, Networks(models, "1"), workers=1)
    assert only.whole[0] > 0.99
    assert only.strangeness == (3.0, 4.0)
    assert only.scale_error == pytest.approx(np.log(16 / 20), abs=0.01)
    assert only.scale_deviation == pytest.approx(0.1, abs=1e-3)
    before = read_manifest(models / "florets" / "1" / "model.toml")
    tune_network.main([str(photos), str(models / "florets" / "1"), "--workers", "1"])
    after = read_manifest(models / "florets" / "1" / "model.toml")
    # one photo says too little for anything else
    assert after.numbers(FloretsTuned) == replace(
        before.numbers(FloretsTuned), anther_least=ANTHER_LEAST
    )
    assert after.calibration == before.calibration


def test_marks_are_reported_from_low_on():
    high = FloretsTuned(**{**FLORETS_TUNED, "anther_least": 0.4})
    low = replace(high, anther_least=0.01)
    assert tuned_florets([answer()], high).anther_least == ANTHER_LEAST
    assert tuned_florets([answer()], low).anther_least == 0.01
