"""The signs can be told apart: from their ground, and from each other with any colour vision."""

from itertools import combinations

import colour
import numpy as np
import pytest

from spikecheck.imaging.canvas import shape_corners
from spikecheck.imaging.marks import (
    INK,
    MARKS,
    PAPER,
    RIM,
    STAGE_LETTERS,
    VERDICT_COLOURS,
    VERMILLION,
    Shape,
    anther_letters,
)
from spikecheck.vocabulary import AntherStage, FloretStatus, Verdict
from tests.contrast import contrast

# Severest form of each deficiency, in the model of Machado, Oliveira and Fernandes 2009,
# IEEE Trans. Vis. Comput. Graph. 15:1291, as colour-science implements it.
DEFICIENCIES = ("Protanomaly", "Deuteranomaly", "Tritanomaly")


def test_the_contrast_formula_gives_the_extremes_wcag_names():
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((9, 9, 9), (9, 9, 9)) == 1


def test_every_status_stage_and_verdict_has_a_sign():
    assert set(MARKS) == set(FloretStatus)
    assert set(STAGE_LETTERS) == set(AntherStage)
    assert set(VERDICT_COLOURS) == set(Verdict)


def test_no_two_conclusions_share_a_shape_a_colour_or_words():
    for attribute in ("shape", "colour", "words"):
        assert len({getattr(mark, attribute) for mark in MARKS.values()}) == len(MARKS)
    assert len(set(STAGE_LETTERS.values())) == len(AntherStage)
    assert len(set(VERDICT_COLOURS.values())) == len(Verdict)


@pytest.mark.parametrize("status", FloretStatus)
def test_marks_stand_out_from_their_rim(status):
    assert contrast(MARKS[status].colour, RIM) >= 3  # WCAG 2.2, 1.4.11


def test_text_reads_on_paper_and_plate():
    for ground in (PAPER, RIM):
        assert contrast(INK, ground) >= 7  # WCAG 2.2, 1.4.6
        for shade in VERDICT_COLOURS.values():
            assert contrast(shade, ground) >= 4.5  # WCAG 2.2, 1.4.3
    assert contrast(VERMILLION, RIM) >= 3


# Its tritanomaly is an approximation, as it says itself; the marks have room to spare.
@pytest.mark.filterwarnings("ignore:.*simulation of tritanomaly")
@pytest.mark.parametrize("deficiency", DEFICIENCIES)
def test_colours_differ_with_every_kind_of_colour_vision(deficiency):
    matrix = colour.blindness.matrix_cvd_Machado2009(deficiency, 1.0)

    def lab(srgb):
        seen = np.clip(colour.eotf(np.array(srgb) / 255, "sRGB") @ matrix.T, 0, 1)
        xyz = colour.RGB_to_XYZ(seen, "sRGB")
        return colour.XYZ_to_Lab(xyz, colour.CCS_ILLUMINANTS["cie_2_1931"]["D65"])

    for one, other in combinations(MARKS.values(), 2):
        difference = colour.delta_E(lab(one.colour), lab(other.colour), method="CIE 2000")
        assert difference >= 10, (one.words, other.words)


def test_shapes_have_equal_area_and_different_corners():
    areas = {}
    for shape in Shape:
        row, column = shape_corners(shape).T
        areas[shape] = abs(row @ np.roll(column, 1) - column @ np.roll(row, 1)) / 2
    assert list(areas.values()) == pytest.approx([np.pi] * len(Shape), rel=0.01)
    assert len(shape_corners(Shape.TRIANGLE)) == 3
    assert not np.allclose(shape_corners(Shape.SQUARE), shape_corners(Shape.DIAMOND))


def test_letters_tell_stage_ripeness_and_damage():
    assert anther_letters(AntherStage.GREEN, near_anthesis=False, broken=False) == "G"
    assert anther_letters(AntherStage.YELLOW, near_anthesis=True, broken=False) == "Y!"
    assert anther_letters(AntherStage.DEHISCED, near_anthesis=True, broken=True) == "D!b"
