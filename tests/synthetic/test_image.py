"""One image: the same from the same seed, with a truth that agrees with what is drawn."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.errors import UsageError
from spikecheck.synthetic.image import make_image
from spikecheck.synthetic.kinds import KINDS
from spikecheck.synthetic.subject import LEAST_AREA_MM2
from spikecheck.vocabulary import QualityProblem, Side, Verdict, read_truth, write_truth

COARSE = 6.0  # px/mm: quick to draw
WITH_LEFTOVERS = sorted(name for name, kind in KINDS.items() if kind.leftovers is not None)


def test_same_seed_same_image_and_other_seed_another():
    first, second = (make_image("leftover", 7, COARSE) for _ in range(2))
    np.testing.assert_array_equal(first.pixels, second.pixels)
    assert first.truth == second.truth
    other = make_image("leftover", 8, COARSE)
    assert other.truth != first.truth


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_kind_has_the_answer_it_promises(kind):
    image = make_image(kind, 3, COARSE)
    truth = image.truth
    assert image.pixels.dtype == np.uint8
    assert image.pixels.shape == (truth.height, truth.width, 3)
    assert truth.image == f"{kind}_00003.jpg"
    assert truth.verdict is (Verdict.PASS if kind == "clean" else Verdict.REVIEW)
    assert truth.problems == KINDS[kind].problems
    assert bool(truth.anthers) == (kind in WITH_LEFTOVERS)
    assert bool(truth.florets) == (kind != "no_spike")
    assert (truth.outline is None) == (kind == "no_spike")


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 999), kind=st.sampled_from(WITH_LEFTOVERS))
def test_leftovers_show_and_their_boxes_hold_just_them(seed, kind):
    image = make_image(kind, seed, COARSE)
    truth = image.truth
    ids = {floret.id for floret in truth.florets}
    codes = [code for code in np.unique(image.anther_map) if code]
    assert len(codes) == len(truth.anthers) > 0
    for code, anther in zip(codes, truth.anthers, strict=True):
        mask = image.anther_map == code
        rows, columns = np.nonzero(mask)
        box = anther.box
        assert (box.top, box.bottom) == (rows.min(), rows.max() + 1)
        assert (box.left, box.right) == (columns.min(), columns.max() + 1)
        assert anther.visible_area_mm2 == pytest.approx(mask.sum() / truth.px_per_mm**2, abs=1e-3)
        assert anther.visible_area_mm2 >= LEAST_AREA_MM2 - 5e-4
        assert 0 < anther.visible_share <= 1
        assert 1.0 <= anther.length_mm <= 4.5
        assert (anther.floret is None) == (kind == "leftover_outside")
        assert anther.floret is None or anther.floret in ids
        if kind.removeprefix("leftover_") in {"green", "yellow", "dehisced"}:
            assert anther.stage == kind.removeprefix("leftover_")
        assert anther.near_anthesis or anther.stage == "green"
        assert anther.broken or kind != "leftover_broken"


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 999), kind=st.sampled_from(["clean", "partly_prepared", "cut_off"]))
def test_florets_are_numbered_from_base_to_tip_and_lie_in_the_frame(seed, kind):
    truth = make_image(kind, seed, COARSE).truth
    for side in Side:
        own = [floret for floret in truth.florets if floret.side is side]
        assert [f.id for f in own] == [f"{side.letter}{n}" for n in range(1, len(own) + 1)]
        places = [floret.position for floret in own]
        assert places == sorted(places)
    for floret in truth.florets:
        box = floret.box
        assert 0 <= box.top < box.bottom <= truth.height
        assert 0 <= box.left < box.right <= truth.width
        assert box.contains(floret.centre)
        assert 0 <= floret.cavity_visible <= 1
        assert floret.clipped or floret.cavity_visible == 0


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 999))
def test_every_floret_of_a_clean_spike_is_clipped_and_can_be_looked_into(seed):
    truth = make_image("clean", seed, COARSE).truth
    assert all(f.clipped and f.cavity_visible >= 0.6 for f in truth.florets)


def test_the_picture_shows_the_fault_it_names():
    bright = {
        name: make_image(name, 5, COARSE).pixels.mean() for name in ("clean", "dark", "overexposed")
    }
    assert bright["dark"] < 0.5 * bright["clean"] < bright["overexposed"]
    small = make_image("too_small", 5, 22.0).truth
    assert small.px_per_mm < 10
    cut = make_image("cut_off", 5, COARSE).truth
    inside = [0 <= p.row < cut.height and 0 <= p.column < cut.width for p in cut.axis]
    assert not all(inside)
    assert QualityProblem.CUT_OFF in cut.problems


def test_truth_survives_its_file(tmp_path):
    truth = make_image("leftover", 11, COARSE).truth
    write_truth(truth, tmp_path / "a.json")
    once = read_truth(tmp_path / "a.json")
    write_truth(once, tmp_path / "b.json")
    assert (tmp_path / "a.json").read_bytes() == (tmp_path / "b.json").read_bytes()
    assert [f.id for f in once.florets] == [f.id for f in truth.florets]
    assert [a.floret for a in once.anthers] == [a.floret for a in truth.anthers]


def test_wrong_arguments_are_named():
    with pytest.raises(UsageError, match="no kind of image is named 'neat'"):
        make_image("neat", 1)
    with pytest.raises(UsageError, match="a seed is 0 or more, got -1"):
        make_image("clean", -1)
    with pytest.raises(UsageError, match=r"lies in 2 to 60 px/mm, got 0\.5"):
        make_image("clean", 1, 0.5)
