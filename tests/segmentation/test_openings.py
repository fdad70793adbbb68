"""Openings: drawn ones are proposed, their rim is traced where it was drawn, and measured right."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.imaging.strip import STRIP_PX_PER_MM
from spikecheck.segmentation.opening_candidates import (
    EllipseCandidate,
    LightnessViews,
    lightness_views,
    propose_openings,
)
from spikecheck.segmentation.opening_contour import ANGLES, Contours, trace_contours
from spikecheck.segmentation.opening_features import FEATURES, opening_features
from spikecheck.segmentation.openings import RimCandidates, find_openings, rim_candidates
from spikecheck.thresholds import load_thresholds
from spikecheck.thresholds.scores import FittedScore, load_score
from tests.segmentation.drawing import draw_opening, ellipse_distance_mm, tissue_lab

LIMITS = load_thresholds().segmentation
CENTRE = (200.0, 180.0)
SHAPES = [
    {"half_across_mm": across, "flatness": flatness, "turn_deg": turn}
    for across, flatness, turn in [
        (1.0, 0.7, 0.0), (1.0, 0.95, 0.0), (1.25, 0.5, 20.0), (1.25, 0.7, -40.0),
        (1.4, 0.6, 30.0), (1.55, 0.45, -20.0), (1.55, 0.9, 10.0),
    ]
]  # fmt: skip


def drawn(**shape: float) -> np.ndarray:
    lab = tissue_lab()
    draw_opening(lab, CENTRE, **shape)
    return lab


def views_of(lab: np.ndarray) -> LightnessViews:
    return lightness_views(lab, np.ones(lab.shape[:2], dtype=bool))


def candidate(half_across_mm: float, flatness: float, turn_deg: float) -> EllipseCandidate:
    across = half_across_mm * STRIP_PX_PER_MM
    return EllipseCandidate(*CENTRE, across, across * flatness, turn_deg)


def traced(lab: np.ndarray, **shape: float) -> Contours:
    return trace_contours([candidate(**shape)], views_of(lab))


def measured(lab: np.ndarray, contours: Contours) -> dict[str, float]:
    whole = np.ones(lab.shape[:2], dtype=bool)
    values = opening_features(contours, views_of(lab), lab, whole, whole)
    assert values.shape == (1, len(FEATURES))
    return dict(zip(FEATURES, values[0], strict=True))


@pytest.mark.parametrize("shape", SHAPES, ids=str)
def test_a_drawn_opening_is_proposed_and_traced_on_its_rim(shape):
    lab = drawn(**shape)
    views = views_of(lab)
    proposed = propose_openings(views, thresholds=LIMITS)
    near = [c for c in proposed if np.hypot(c.row - CENTRE[0], c.column - CENTRE[1]) < 6]
    assert near
    contours = trace_contours(near, views)
    off_mm = np.abs(ellipse_distance_mm(contours.rows, contours.columns, CENTRE, **shape))
    best = int(off_mm.mean(axis=1).argmin())
    assert off_mm[best].max() * STRIP_PX_PER_MM < 2
    assert contours.rim_seen(best) == 1


def test_several_openings_are_all_proposed():
    lab = tissue_lab(500, 360)
    places = [(90.0, 100.0), (210.0, 250.0), (330.0, 110.0), (440.0, 240.0)]
    for place in places:
        draw_opening(lab, place)
    proposed = np.array(
        [(c.row, c.column) for c in propose_openings(views_of(lab), thresholds=LIMITS)]
    )
    for place in places:
        assert np.hypot(*(proposed - place).T).min() < 6


def test_even_tissue_and_a_pale_patch_and_a_dark_hole_are_no_openings():
    patch, hole = tissue_lab(), tissue_lab()
    away = ellipse_distance_mm(
        *np.mgrid[:400, :360], CENTRE, half_across_mm=1.25, flatness=0.7, turn_deg=0
    )
    patch[away < 0, 0] = 86
    hole[away < 0, 0] = 22
    for lab in (
        tissue_lab(),
        cv2.GaussianBlur(patch, (0, 0), 1),
        cv2.GaussianBlur(hole, (0, 0), 1),
    ):
        assert propose_openings(views_of(lab), thresholds=LIMITS) == ()


@given(
    across=st.floats(1.0, 1.5), flatness=st.floats(0.5, 0.95), turn=st.floats(-40, 40),
    error=st.floats(0.85, 1.2),
)  # fmt: skip
@settings(max_examples=25, deadline=None)
def test_the_rim_is_found_from_an_ellipse_of_another_size(across, flatness, turn, error):
    shape = {"half_across_mm": across, "flatness": flatness, "turn_deg": turn}
    contours = traced(drawn(**shape), **(shape | {"half_across_mm": across * error}))
    off_mm = ellipse_distance_mm(contours.rows, contours.columns, CENTRE, **shape)
    assert np.abs(off_mm).max() * STRIP_PX_PER_MM < 2.5
    assert contours.seen.mean() > 0.9


def test_a_half_hidden_rim_is_half_seen():
    shape = {"half_across_mm": 1.4, "flatness": 0.9, "turn_deg": 0.0}
    lab = drawn(**shape)
    lab[:, 180:] = tissue_lab()[:, 180:]
    contours = traced(lab, **shape)
    assert 0.35 <= contours.rim_seen(0) <= 0.75
    right = contours.columns[0] > 195
    assert contours.seen[0, ~right].mean() > 0.8
    assert contours.seen[0, right].mean() < 0.3


def test_a_sector_is_seen_with_a_quarter_of_it():
    """Four angles a sector: one faint one is enough, none is not."""
    ridge, step = np.zeros((1, ANGLES), np.float32), np.full((1, ANGLES), 10, np.float32)
    ridge[0, [0, 4, 5, 12]] = 0.2  # sectors 0, 1 and 3
    contours = Contours(ridge, ridge, ridge, step, np.zeros(1, np.float32))
    assert contours.rim_seen(0) == 3 / 8
    assert not contours.seen.any()  # too faint to speak for an opening on its own


@pytest.mark.parametrize("shape", SHAPES, ids=str)
def test_area_and_flatness_are_those_of_the_ellipse(shape):
    features = measured(lab := drawn(**shape), traced(lab, **shape))
    across, along = shape["half_across_mm"], shape["half_across_mm"] * shape["flatness"]
    a_pixel_mm2 = np.pi * (across + along) / STRIP_PX_PER_MM  # if the whole rim is a pixel off
    assert features["area_mm2"] == pytest.approx(np.pi * across * along, abs=a_pixel_mm2)
    assert features["area_mm2_squared"] == pytest.approx(features["area_mm2"] ** 2)
    assert features["flatness"] == pytest.approx(shape["flatness"], abs=0.06)


def test_a_drawn_opening_has_the_measures_of_one():
    shape = {"half_across_mm": 1.25, "flatness": 0.8, "turn_deg": 0.0}
    features = measured(lab := drawn(**shape), traced(lab, **shape))
    assert features["support"] == 1
    assert features["weakest_sector"] == 1
    assert features["roughness"] < 0.5
    assert features["dark_share"] > 0.9
    # the cavity is 22 of L*, the tissue 62 to the closing, which the pale rim lifts to 86 at most
    assert 22 / 86 < features["darkest"] < 22 / 60
    assert features["rim_paleness"] > 0.3  # chroma 31 outside, 15 on the rim, over 20
    assert features["plant_below"] == features["plant_above"] == 1


def test_even_tissue_has_none_of_them():
    shape = {"half_across_mm": 1.25, "flatness": 0.8, "turn_deg": 0.0}
    features = measured(lab := tissue_lab(), traced(lab, **shape))
    assert features["support"] < 0.2
    assert features["weakest_sector"] == 0
    assert features["dark_share"] == 0
    assert abs(features["darkness"]) < 0.1
    assert abs(features["rim_paleness"]) < 0.1


def test_below_is_towards_the_base():
    shape = {"half_across_mm": 1.4, "flatness": 0.9, "turn_deg": 0.0}
    lab = drawn(**shape)
    lab[206:] = tissue_lab()[206:]
    features = measured(lab, traced(lab, **shape))
    assert features["support_above"] > features["support_below"] + 0.4
    assert features["weakest_sector"] == 0


def only_support(weight: float = 10.0) -> FittedScore:
    """A score that is the share of the rim seen, from -5 to 5."""
    weights = np.zeros(len(FEATURES))
    weights[FEATURES.index("support")] = weight
    none, one = np.zeros(len(FEATURES)), np.ones(len(FEATURES))
    return FittedScore(FEATURES, none, one, weights, none, -weight / 2, "drawn")


def test_of_openings_on_one_another_the_surest_stays():
    lab = tissue_lab(500, 360)
    for place in [(100.0, 150.0), (300.0, 200.0)]:
        draw_opening(lab, place)
    whole = np.ones(lab.shape[:2], dtype=bool)
    candidates = rim_candidates(lab, whole, whole, thresholds=LIMITS)
    openings = find_openings(candidates, score=only_support(), thresholds=LIMITS)
    assert len(candidates.features) > len(openings) == 2
    assert [opening.log_odds for opening in openings] == sorted(
        (opening.log_odds for opening in openings), reverse=True
    )
    centres = sorted(opening.centre for opening in openings)
    assert centres[0] == pytest.approx((100, 150), abs=5)
    assert centres[1] == pytest.approx((300, 200), abs=5)


def circles(*centres: tuple[float, float], supports: list[float]) -> RimCandidates:
    """Small rims of 10 px radius with the given shares seen."""
    angle = np.arange(ANGLES) * 2 * np.pi / ANGLES
    rows, columns = (
        np.array([[c[i]] for c in centres], np.float32) + 10 * turn(angle).astype(np.float32)[None]
        for i, turn in enumerate((np.sin, np.cos))
    )
    features = np.zeros((len(centres), len(FEATURES)))
    features[:, FEATURES.index("support")] = supports
    strong = np.ones_like(rows)
    contours = Contours(rows, columns, strong, 10 * strong, np.zeros(len(centres), np.float32))
    return RimCandidates(contours, features, np.zeros((400, 360), np.float32))


def test_two_openings_lie_a_least_distance_apart_and_the_better_one_stays():
    apart = LIMITS.opening_apart_px
    for distance, kept in ((apart - 1, [0.9]), (apart + 1, [0.9, 0.6])):
        candidates = circles((100, 100), (100, 100 + distance), supports=[0.6, 0.9])
        openings = find_openings(candidates, score=only_support(), thresholds=LIMITS)
        assert [opening.log_odds for opening in openings] == pytest.approx(
            [10 * support - 5 for support in kept]
        )


def test_what_is_below_doubt_is_dropped():
    lab = drawn()
    whole = np.ones(lab.shape[:2], dtype=bool)
    candidates = rim_candidates(lab, whole, whole, thresholds=LIMITS)
    strict = replace(LIMITS, opening_doubt_log_odds=5.1)
    assert find_openings(candidates, score=only_support(), thresholds=strict) == ()
    assert find_openings(candidates, score=only_support(), thresholds=LIMITS) != ()


def test_the_shipped_score_prefers_a_drawn_opening_to_tissue():
    shape = {"half_across_mm": 1.25, "flatness": 0.7, "turn_deg": 0.0}
    score = load_score("opening_score")
    odds = [
        score.log_odds(np.array([list(measured(lab, traced(lab, **shape)).values())]))[0]
        for lab in (drawn(**shape), tissue_lab())
    ]
    assert odds[0] > odds[1] + 2


def test_without_a_spike_there_are_no_candidates():
    lab, none = drawn(), np.zeros((400, 360), dtype=bool)
    assert rim_candidates(lab, none, none, thresholds=LIMITS) is None
    whole = ~none
    assert rim_candidates(tissue_lab(), whole, whole, thresholds=LIMITS) is None


def test_darkness_is_the_missing_share_of_the_tissues_lightness():
    lab = drawn(half_across_mm=1.4, flatness=0.9)
    whole = np.ones(lab.shape[:2], dtype=bool)
    candidates = rim_candidates(lab, whole, whole, thresholds=LIMITS)
    assert isinstance(candidates, RimCandidates)
    assert 1 - 22 / 60 < candidates.darkness[200, 180] < 1 - 22 / 86
    assert abs(candidates.darkness[30, 30]) < 0.06
