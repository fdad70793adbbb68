"""The network-free finder: identity, spike, florets and anthers; and which finder is taken."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from spikecheck.errors import ModelError
from spikecheck.networks import FLORETS, OVERVIEW
from spikecheck.photo import read_photo
from spikecheck.pipeline.finders import NetworkFinder, NetworkFreeFinder, default_finder
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import NETWORK_FREE, Calibration, Photo, Side, read_truth
from tests.drawn_images import drawn_image
from tests.networks.colour_networks import save_florets, save_overview

THRESHOLDS = load_thresholds()


@cache
def image():
    return drawn_image("leftover_yellow", 171)


@cache
def truth():
    return read_truth(image().with_suffix(".json"))


@cache
def photo() -> Photo:
    return read_photo(image(), thresholds=THRESHOLDS.reading)


@cache
def findings():
    return NetworkFreeFinder(THRESHOLDS).find(photo())


def test_its_identity_is_the_method_and_the_digest_of_its_thresholds():
    finder = NetworkFreeFinder(THRESHOLDS)
    assert (finder.model.name, finder.model.sha256) == (NETWORK_FREE, THRESHOLDS.sha256)
    other = NetworkFreeFinder(replace(THRESHOLDS, sha256="f" * 64))
    assert other.model.sha256 == "f" * 64
    assert findings().model == finder.model


def test_of_a_picture_without_a_spike_nothing_is_explained():
    blank = Photo("card.png", "0" * 64, np.full((300, 200, 3), 190, np.uint8))
    found = NetworkFreeFinder(THRESHOLDS).find(blank)
    assert (found.spike, found.scale, found.florets, found.anthers) == (None, None, (), ())
    assert (found.other_spikes, found.unexplained) == (0, 1.0)


def test_florets_are_ordered_by_side_and_from_base_to_tip_and_named_so():
    florets = findings().florets
    order = [(list(Side).index(floret.side), floret.position) for floret in florets]
    assert order == sorted(order)
    assert len({floret.id for floret in florets}) == len(florets) > 4


def test_anthers_name_a_floret_that_is_there_and_lie_near_it():
    found = findings()
    florets = {floret.id: floret for floret in found.florets}
    assert any(anther.floret for anther in found.anthers)
    for anther in found.anthers:
        assert anther.floret is None or anther.floret in florets
        if anther.floret is not None:
            reach = 1.5 * found.scale.px_per_mm
            assert florets[anther.floret].box.grown(reach).contains(anther.centre)
    scores = [anther.score for anther in found.anthers]
    assert scores == sorted(scores, reverse=True)


def test_a_true_leftover_is_found_with_its_stage_and_about_its_length():
    near = [
        (true, anther)
        for true in truth().anthers
        for anther in findings().anthers
        if true.box.grown(0.3 * truth().px_per_mm).contains(anther.centre)
    ]
    assert near
    true, anther = near[0]
    assert anther.stage is true.stage
    assert anther.near_anthesis
    box = true.box  # of what shows of it
    shown_mm = np.hypot(box.right - box.left, box.bottom - box.top) / truth().px_per_mm
    assert 0.4 * shown_mm < anther.length_mm < 1.5 * shown_mm


def test_the_same_photo_is_read_the_same_twice():
    again = NetworkFreeFinder(THRESHOLDS).find(photo())
    assert again.florets == findings().florets
    assert again.anthers == findings().anthers


def test_a_stricter_threshold_finds_no_more_anthers():
    anthers = replace(THRESHOLDS.anthers, yellow_score=1.0, pale_score=1.0, green_score=1.0)
    strict = NetworkFreeFinder(replace(THRESHOLDS, anthers=anthers)).find(photo())
    assert strict.anthers == ()
    assert strict.florets == pytest.approx(findings().florets)


@pytest.fixture
def models(tmp_path, monkeypatch):
    """An empty folder in the place of the networks that come with the package."""
    monkeypatch.setattr("spikecheck.networks.load.bundled_folder", lambda _: tmp_path)
    return tmp_path


def test_without_networks_rules_look(models):
    assert isinstance(default_finder(THRESHOLDS), NetworkFreeFinder)


def test_one_network_alone_does_not_look(models):
    save_florets(models)
    assert isinstance(default_finder(THRESHOLDS), NetworkFreeFinder)


def test_where_both_networks_are_they_look_with_the_calibration_passed_in(models):
    save_florets(models)
    save_overview(models, px_per_mm_in_square=5.0)
    own = Calibration("own photos", 0.05, 120, 0, 0.01, 1 / 121, "c" * 64)
    finder = default_finder(THRESHOLDS, own, threads=1)
    assert isinstance(finder, NetworkFinder)
    blank = Photo("card.png", "0" * 64, np.full((300, 200, 3), 190, np.uint8))
    assert finder.find(blank).calibration is own


@pytest.mark.parametrize("task", [OVERVIEW, FLORETS])
def test_an_altered_network_is_told_and_not_passed_over(models, task):
    save_florets(models)
    save_overview(models, px_per_mm_in_square=5.0)
    with (models / task / "1" / "model.onnx").open("ab") as file:
        file.write(b"!")
    with pytest.raises(ModelError, match="not the file its manifest tells of"):
        default_finder(THRESHOLDS)
