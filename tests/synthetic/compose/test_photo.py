"""A composed photo: the same from the same seed, its truth in step with its class map."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.errors import UsageError
from spikecheck.synthetic.compose.classes import ANTHER_CLASS, THING
from spikecheck.synthetic.compose.judging import FAULTS, plain_kind
from spikecheck.synthetic.compose.laid import spike_points
from spikecheck.synthetic.compose.photo import compose_photo
from spikecheck.synthetic.compose.placing import draw_placement
from spikecheck.synthetic.compose.truth_reading import hidden_share
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import QualityProblem, Verdict, read_truth, write_truth
from tests.synthetic.compose.layers_builder import PX_PER_MM, make_layers

LAYERS = [make_layers(1), make_layers(2, anthers=0)]


@pytest.fixture(scope="module")
def leftovers():
    return [compose_photo(LAYERS, seed=seed, kind="leftover") for seed in range(4)]


def test_same_seed_same_photo_and_other_seed_another(leftovers):
    again = compose_photo(LAYERS, seed=0, kind="leftover")
    np.testing.assert_array_equal(again.pixels, leftovers[0].pixels)
    np.testing.assert_array_equal(again.classes, leftovers[0].classes)
    assert again.truth == leftovers[0].truth
    assert leftovers[1].truth != leftovers[0].truth


def test_every_anther_is_in_the_class_map_with_its_area(leftovers):
    for photo in leftovers:
        for anther in photo.truth.anthers:
            box = anther.box
            rows = slice(int(box.top), int(box.bottom)), slice(int(box.left), int(box.right))
            count = np.count_nonzero(photo.classes[rows] == ANTHER_CLASS[anther.stage])
            area = count / photo.truth.px_per_mm**2
            assert anther.visible_area_mm2 == pytest.approx(area, abs=2e-4)
            assert box.contains(anther.centre)
            assert anther.visible_area_mm2 >= 0.02
        listed = sum(a.visible_area_mm2 for a in photo.truth.anthers)
        shown = np.count_nonzero(photo.classes >= 3) / photo.truth.px_per_mm**2
        assert listed == pytest.approx(shown, abs=0.02 * len(LAYERS[0].record.anthers))


def test_turning_and_stretching_keep_areas_within_rounding(leftovers):
    """A 2.5 mm anther has an outline of about 3.5 mm: half a pixel of it may go either way."""
    for photo in leftovers:
        for anther in photo.truth.anthers:
            if anther.visible_share < 0.97:  # something lies over it
                continue
            true = LAYERS[0].record.anthers[0].whole_px / PX_PER_MM**2
            assert anther.visible_area_mm2 == pytest.approx(
                true, abs=3.5 * 0.5 / photo.truth.px_per_mm
            )


def test_sides_stay_with_the_spike_however_it_lies(leftovers):
    for photo in leftovers:
        base, tip = photo.truth.axis[0], photo.truth.axis[-1]
        up = np.array([tip.row - base.row, tip.column - base.column])
        for floret in photo.truth.florets:
            off = np.array([floret.centre.row - base.row, floret.centre.column - base.column])
            # Looking along the axis, right is where the cross product is positive.
            right = up[0] * -off[1] - up[1] * -off[0]
            assert (right > 0) == (floret.side == "right")
            share = float(off @ up / (up @ up))
            assert share == pytest.approx(floret.position, abs=0.12)


@pytest.mark.parametrize("kind", FAULTS)
def test_faults_have_the_right_problem_and_are_reviewed(kind):
    photo = compose_photo(LAYERS[::-1], seed=3, kind=kind)
    truth = photo.truth
    assert truth.problems == (QualityProblem(kind),)
    assert truth.verdict is Verdict.REVIEW
    assert truth.families["kind"] == kind
    if kind == "no_spike":
        assert not truth.anthers
        assert not truth.florets
        assert truth.outline is None
        assert not photo.classes.any()


def test_a_clean_spike_passes_and_an_unseen_cavity_does_not():
    clean = [make_layers(4, anthers=0)]
    verdicts = [compose_photo(clean, seed=seed, kind="clean").truth for seed in range(3)]
    assert [truth.verdict for truth in verdicts] == [Verdict.PASS] * 3
    away = [make_layers(4, anthers=0, cavity=0.3)]
    assert plain_kind(away[0].record) == "turned_away"
    truth = compose_photo(away, seed=0, kind="turned_away").truth
    assert truth.verdict is Verdict.REVIEW
    assert truth.problems == ()


def test_a_littered_spike_is_the_same_one_with_more_lying_on_it():
    more = 0
    for seed in range(3):
        usual, littered = (
            compose_photo(LAYERS[::-1], seed=seed, kind="clean", littered=much)
            for much in (False, True)
        )
        assert littered.pixels.shape == usual.pixels.shape
        assert littered.truth.problems == ()  # though something may lie over a cavity
        assert littered.truth.axis == usual.truth.axis
        more += np.count_nonzero(littered.classes == THING) - np.count_nonzero(
            usual.classes == THING
        )
    assert more / PX_PER_MM**2 > 3 * 3  # mm² on three spikes: more than one small thing on each


def test_under_litter_every_anther_keeps_its_truth():
    photo = compose_photo(LAYERS, seed=0, kind="leftover", littered=True)
    shown = np.count_nonzero(photo.classes >= 3) / photo.truth.px_per_mm**2
    assert sum(a.visible_area_mm2 for a in photo.truth.anthers) == pytest.approx(shown, abs=0.06)


def test_an_unprepared_spike_is_not_prepared():
    layers = [make_layers(5, state="heading", anthers=0, clipped=False)]
    truth = compose_photo(layers, seed=0, kind="unprepared").truth
    assert truth.problems == (QualityProblem.NOT_PREPARED,)
    assert all(not floret.clipped for floret in truth.florets)


def test_what_lies_over_the_spike_takes_its_axis_and_cavities():
    limit = load_thresholds().quality.largest_hidden_share
    photo = compose_photo(LAYERS[::-1], seed=5, kind="occluded")
    assert hidden_share(photo.truth.axis, photo.classes, photo.truth.px_per_mm) > limit
    assert np.any(photo.classes == THING)
    seen = {floret.id: floret.cavity_visible for floret in photo.truth.florets}
    assert len(seen) < 6 or min(seen.values()) < 0.85


def test_a_cut_off_spike_leaves_the_frame():
    truth = compose_photo(LAYERS[::-1], seed=2, kind="cut_off").truth
    ends = (truth.axis[0], truth.axis[-1])
    assert any(not (0 <= p.row < truth.height and 0 <= p.column < truth.width) for p in ends)


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**32), problem=st.sampled_from([None, *QualityProblem]))
def test_the_frame_holds_the_spike_at_the_working_scale(seed, problem):
    axis = np.array([(p.column, p.row) for p in LAYERS[0].record.axis], float)
    points = spike_points(LAYERS[0])
    placement = draw_placement(np.random.default_rng(seed), points, axis, PX_PER_MM, problem)
    scale = PX_PER_MM * placement.stretch
    small = problem is QualityProblem.TOO_SMALL
    assert (scale < load_thresholds().quality.least_px_per_mm) == small
    moved = placement.moved(points)
    inside = bool((moved >= 0).all() and (moved < placement.shape[::-1]).all())
    assert inside == (problem is not QualityProblem.CUT_OFF)
    assert 1400 <= max(placement.shape) <= 2400


def test_truth_survives_its_file(tmp_path, leftovers):
    write_truth(leftovers[0].truth, tmp_path / "truth.json")
    read = read_truth(tmp_path / "truth.json")
    assert read.verdict is leftovers[0].truth.verdict
    assert len(read.florets) == len(leftovers[0].truth.florets)


def test_a_kind_the_layer_does_not_show_is_refused():
    with pytest.raises(UsageError, match="cannot be made of this layer"):
        compose_photo(LAYERS, seed=0, kind="clean")
    with pytest.raises(UsageError, match="no kind of image"):
        compose_photo(LAYERS, seed=0, kind="painted")
    with pytest.raises(UsageError, match="needs a layer"):
        compose_photo([], seed=0, kind="dark")
    assert compose_photo([], seed=0, kind="no_spike").truth.verdict is Verdict.REVIEW
