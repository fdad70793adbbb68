"""The network-free finder: one whole of identity, spike, florets and anthers."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from spikecheck.bundled import bundled_folder
from spikecheck.photo import read_photo
from spikecheck.pipeline.finders import NetworkFreeFinder, default_finder
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import NETWORK_FREE, Photo, Side, read_truth

THRESHOLDS = load_thresholds()
IMAGE = next((bundled_folder("synthetic_images") / "demo").glob("leftover_yellow_*.jpg"))
TRUTH = read_truth(IMAGE.with_suffix(".json"))


@cache
def photo() -> Photo:
    return read_photo(IMAGE, thresholds=THRESHOLDS.reading)


@cache
def findings():
    return default_finder(THRESHOLDS).find(photo())


def test_its_identity_is_the_method_and_the_digest_of_its_thresholds():
    finder = default_finder(THRESHOLDS)
    assert isinstance(finder, NetworkFreeFinder)
    assert (finder.model.name, finder.model.sha256) == (NETWORK_FREE, THRESHOLDS.sha256)
    other = default_finder(replace(THRESHOLDS, sha256="f" * 64))
    assert other.model.sha256 == "f" * 64
    assert findings().model == finder.model


def test_of_a_picture_without_a_spike_nothing_is_explained():
    blank = Photo("card.png", "0" * 64, np.full((300, 200, 3), 190, np.uint8))
    found = default_finder(THRESHOLDS).find(blank)
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
        for true in TRUTH.anthers
        for anther in findings().anthers
        if true.box.grown(0.3 * TRUTH.px_per_mm).contains(anther.centre)
    ]
    assert near
    true, anther = near[0]
    assert anther.stage is true.stage
    assert anther.near_anthesis
    box = true.box  # of what shows of it
    shown_mm = np.hypot(box.right - box.left, box.bottom - box.top) / TRUTH.px_per_mm
    assert 0.4 * shown_mm < anther.length_mm < 1.5 * shown_mm


def test_the_same_photo_is_read_the_same_twice():
    again = default_finder(THRESHOLDS).find(photo())
    assert again.florets == findings().florets
    assert again.anthers == findings().anthers


def test_a_stricter_threshold_finds_no_more_anthers():
    anthers = replace(THRESHOLDS.anthers, yellow_score=1.0, pale_score=1.0, green_score=1.0)
    strict = default_finder(replace(THRESHOLDS, anthers=anthers)).find(photo())
    assert strict.anthers == ()
    assert strict.florets == pytest.approx(findings().florets)
