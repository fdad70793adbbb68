"""Measures of a patch against those it was drawn with."""

from __future__ import annotations

import numpy as np
import pytest

from spikecheck.anthers.blob_features import FEATURES, blob_features, length_and_width_px
from spikecheck.anthers.blobs import Blob, Look, strip_colours
from tests.anthers.drawing import EVERYWHERE, NOWHERE, TISSUE, YELLOW, area_mm2, ellipse, tissue

CENTRE = (200.0, 150.0)


def blob_of(mask: np.ndarray) -> Blob:
    return Blob(Look.YELLOW, *np.nonzero(mask))


def measured(mask, *, colour=YELLOW, spike=EVERYWHERE, openings=NOWHERE) -> dict[str, float]:
    lab = tissue()
    lab[mask] = colour
    colours = strip_colours(lab, EVERYWHERE, EVERYWHERE)
    (values,) = blob_features([blob_of(mask)], colours, spike, openings)
    return dict(zip(FEATURES, values, strict=True))


@pytest.mark.parametrize("turn", [0, 30, 75, 90])
@pytest.mark.parametrize(("length", "width"), [(2.6, 0.8), (1.5, 0.7)])
def test_size_is_in_millimetres_whichever_way_it_lies(length, width, turn):
    features = measured(mask := ellipse(CENTRE, length, width, turn_deg=turn))
    assert features["area_mm2"] == pytest.approx(area_mm2(mask))
    assert features["area_mm2"] == pytest.approx(np.pi * length * width / 4, rel=0.05)
    assert features["length_mm"] == pytest.approx(length, abs=0.1)
    assert features["width_mm"] == pytest.approx(width, abs=0.1)
    assert features["thickness_mm"] == pytest.approx(width, abs=0.1)
    assert features["fill"] == pytest.approx(np.pi / 4, abs=0.1)


def test_of_a_bent_patch_the_thickness_is_less_than_the_width():
    ring = ellipse(CENTRE, 3.0, 3.0) & ~ellipse(CENTRE, 2.0, 2.0)
    features = measured(ring)
    assert features["width_mm"] == pytest.approx(3, abs=0.1)
    assert features["thickness_mm"] == pytest.approx(0.5, abs=0.1)


def test_colours_are_set_against_the_tissue_and_the_ring_around():
    features = measured(ellipse(CENTRE, 3.0, 1.5))
    chroma = [float(np.hypot(*each[1:])) for each in (YELLOW, TISSUE)]
    hue = [float(np.degrees(np.arctan2(each[2], each[1]))) for each in (YELLOW, TISSUE)]
    assert features["lighter"] == pytest.approx(YELLOW[0] - TISSUE[0], abs=1)
    assert features["yellower"] == pytest.approx(YELLOW[2] - TISSUE[2], abs=1)
    assert features["hue_step"] == pytest.approx(hue[0] - hue[1], abs=2)
    assert features["chroma_ratio"] == pytest.approx(chroma[0] / chroma[1], abs=0.05)
    assert features["lighter_than_around"] == pytest.approx(YELLOW[0] - TISSUE[0], abs=1.5)
    assert features["more_coloured_than_around"] == pytest.approx(chroma[0] - chroma[1], abs=1.5)
    assert features["hue_from_around"] == pytest.approx(hue[0] - hue[1], abs=2)


def test_the_share_in_an_opening_and_off_the_spike():
    half = NOWHERE.copy()
    half[:, :150] = True
    mask = ellipse(CENTRE, 2.6, 0.8)
    features = measured(mask, spike=half, openings=~half)
    share = mask[:, :150].sum() / mask.sum()
    assert features["off_spike"] == pytest.approx(1 - share)
    assert features["in_opening"] == pytest.approx(1 - share)


def test_a_patch_of_the_tissues_own_colour_stands_out_by_nothing():
    features = measured(ellipse(CENTRE, 2.6, 0.8), colour=TISSUE)
    for name in ("lighter", "yellower", "hue_step", "light_ridge", "chroma_ridge", "unevenness"):
        assert features[name] == pytest.approx(0, abs=1e-3)
    assert features["chroma_ratio"] == pytest.approx(1)


def test_at_the_edge_of_the_strip_the_ring_is_what_is_there():
    corner = NOWHERE.copy()
    corner[:12, :30] = True
    assert measured(corner)["lighter_than_around"] == pytest.approx(17, abs=1.5)
    whole = measured(EVERYWHERE)
    assert whole["lighter_than_around"] == 0  # nothing is around


def test_no_patch_gives_no_row():
    colours = strip_colours(tissue(), EVERYWHERE, EVERYWHERE)
    assert blob_features([], colours, EVERYWHERE, NOWHERE).shape == (0, len(FEATURES))


def test_a_single_pixel_is_one_pixel_long_and_wide():
    dot = NOWHERE.copy()
    dot[5, 5] = True
    assert length_and_width_px(blob_of(dot)) == (1, 1)
