"""Fitting the scores of the network-free method on images with truth."""

from __future__ import annotations

import json
import shutil
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from typing import TYPE_CHECKING

import cv2
import numpy as np
import pytest

from spikecheck.anthers import blob_features, blobs
from spikecheck.errors import UsageError
from spikecheck.model_training import network_free
from spikecheck.model_training.network_free import fit_all, main
from spikecheck.model_training.network_free_examples import anther_examples, opening_examples
from spikecheck.segmentation import opening_features
from spikecheck.thresholds.scores import SCORES, load_score, read_score_text
from spikecheck.vocabulary import read_truth
from tests.drawn_images import drawn_image

if TYPE_CHECKING:
    from pathlib import Path


@cache
def image():
    return drawn_image("leftover_yellow", 171)


@cache
def openings():
    return opening_examples(image())


@cache
def patches():
    return anther_examples(image(), load_score("opening_score"))


@pytest.fixture
def without_truth(tmp_path: Path) -> Path:
    """A card: no spike, no florets, no anthers."""
    image = tmp_path / "card.jpg"
    cv2.imwrite(str(image), np.full((200, 300, 3), 190, np.uint8))
    truth = {
        "schema": "spikecheck.truth/1", "image": image.name, "width": 300, "height": 200,
        "anthers": [],
    }  # fmt: skip
    image.with_suffix(".json").write_text(json.dumps(truth), encoding="utf-8")
    return image


def test_right_candidates_lie_on_true_openings():
    examples = openings()
    truth = read_truth(image().with_suffix(".json"))
    assert examples.features.shape == (len(examples.right), len(opening_features.FEATURES))
    assert 0.02 < examples.right.mean() < 0.9
    strip, contours = examples.located.strip, examples.candidates.contours
    open_ones = [f.centre for f in truth.florets if f.clipped and f.cavity_visible >= 0.25]
    for i, right in enumerate(examples.right):
        place = strip.photo_point(contours.rows[i].mean(), contours.columns[i].mean())
        nearest = min(np.hypot(place.row - c.row, place.column - c.column) for c in open_ones)
        assert (nearest < 0.5 * truth.px_per_mm) == right


def test_a_true_anther_is_a_right_patch_of_its_look():
    found = patches()
    assert set(found) == set(blobs.Look)
    for features, right in found.values():
        assert features.shape == (len(right), len(blob_features.FEATURES))
    assert found[blobs.Look.YELLOW][1].any()


@pytest.mark.parametrize("elsewhere", [False, True])
def test_without_true_anthers_or_with_them_elsewhere_no_patch_is_right(tmp_path, elsewhere):
    copy = tmp_path / image().name
    shutil.copy(image(), copy)
    truth = json.loads(image().with_suffix(".json").read_text(encoding="utf-8"))
    truth["anthers"] = [
        anther | {"box": [0, 0, 30, 30]} for anther in truth["anthers"] if elsewhere
    ]
    copy.with_suffix(".json").write_text(json.dumps(truth), encoding="utf-8")
    found = anther_examples(copy, load_score("opening_score"))
    assert not any(right.any() for _, right in found.values())
    assert [len(right) for _, right in found.values()] == [
        len(right) for _, right in patches().values()
    ]


def test_an_image_without_a_spike_gives_no_examples(without_truth):
    assert opening_examples(without_truth) is None
    assert anther_examples(without_truth, load_score("opening_score")) == {}


def test_images_without_any_candidate_are_refused(without_truth):
    with (
        ThreadPoolExecutor(1) as workers,
        pytest.raises(UsageError, match=r"0 candidates .* an opening, 0 of them right. Fit it on"),
    ):
        fit_all([without_truth], workers=workers)


def test_a_look_that_is_never_right_is_refused(monkeypatch):
    features = np.zeros((4, len(blob_features.FEATURES)))
    nothing = dict.fromkeys(blobs.Look, (features, np.zeros(4, dtype=bool)))
    monkeypatch.setattr(network_free, "opening_examples", lambda _: openings())
    monkeypatch.setattr(network_free, "anther_examples", lambda *_: nothing)
    with (
        ThreadPoolExecutor(1) as workers,
        pytest.raises(UsageError, match="4 candidates for the score of a yellow anther, 0 of them"),
    ):
        fit_all([image()], workers=workers)


def test_all_four_scores_are_fitted_and_written(monkeypatch, tmp_path):
    """Openings from one image, looks from drawn numbers; the shipped files stay as they are."""
    rng = np.random.default_rng(1)
    features = rng.normal(size=(40, len(blob_features.FEATURES)))
    drawn = dict.fromkeys(blobs.Look, (features, features[:, 0] > 0))
    monkeypatch.setattr(network_free, "opening_examples", lambda _: openings())
    monkeypatch.setattr(network_free, "anther_examples", lambda *_: drawn)
    monkeypatch.setattr(network_free, "ProcessPoolExecutor", ThreadPoolExecutor)
    monkeypatch.setattr(network_free, "SCORE_FOLDER", tmp_path)
    images = tmp_path / "images"
    images.mkdir()
    (images / "one.jpg").touch()
    (images / "two.jpg").touch()
    shipped = {name: read_score_text(name) for name in SCORES}
    main([str(images)])
    assert {path.stem for path in tmp_path.glob("*.toml")} == set(SCORES)
    assert "fitted on 2 generated images" in (tmp_path / "opening_score.toml").read_text()
    assert {name: read_score_text(name) for name in SCORES} == shipped


def test_the_fitted_opening_score_tells_right_from_wrong():
    from spikecheck.model_training.fit_score import fit_score

    examples = openings()
    fitted = fit_score(
        examples.features, examples.right, names=opening_features.FEATURES, source="one image"
    )
    odds = fitted.log_odds(examples.features)
    assert odds[examples.right].mean() > odds[~examples.right].mean() + 2
