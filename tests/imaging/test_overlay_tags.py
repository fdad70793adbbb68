"""Overlays show the tags that were read: an outline, and the code in picture and legend."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from spikecheck.imaging.overlay import draw_overlay
from spikecheck.vocabulary import Box, Floret, FloretStatus, JudgedFloret, Point, SeenTag, Side
from tests.builders import photo
from tests.imaging.test_overlay import result_of

OUTLINE = np.array([(200.0, 280.0), (500.0, 280.0), (500.0, 380.0), (200.0, 380.0)])


def tag(outline=OUTLINE):
    return SeenTag("K7Q29XMT", outline, outline, None, None)


def drawn(*tags, florets=()):
    one = photo()
    result = replace(result_of(one, florets=florets), tags=tags)
    return draw_overlay(one, result)


def floret_at(row, column):
    box = Box(row - 20, column - 20, row + 20, column + 20)
    floret = Floret("R1", Point(row, column), box, Side.RIGHT, 0.5, True, 1.0)
    return JudgedFloret(floret, FloretStatus.CLEAR, 0.1)


def test_a_tag_is_outlined_and_told_in_the_legend():
    bare, tagged = drawn(), drawn(tag())
    assert tagged.shape[0] > bare.shape[0]  # the legend, which nothing else needs here
    picture = bare.shape[0]
    assert (tagged[:picture] != bare).any()


def test_the_outline_is_where_the_tag_is():
    bare, tagged = drawn(), drawn(tag())
    changed = (tagged[: bare.shape[0]] != bare).any(axis=2)
    rows, columns = np.nonzero(changed)
    scale = 1200 / 1000  # a photo of 1000 rows is shown with 1200
    assert np.ptp(rows) == pytest.approx(300 * scale, abs=8)
    assert np.ptp(columns) >= 100 * scale - 8


@pytest.mark.parametrize("shift", [-5000.0, 600.0, 5000.0])
def test_a_tag_outside_of_the_view_is_only_told(shift):
    bare, tagged = drawn(), drawn(tag(OUTLINE + np.array([0.0, shift])))
    assert np.array_equal(tagged[: bare.shape[0]], bare)
    assert tagged.shape[0] > bare.shape[0]


def test_several_tags_beside_florets_are_all_drawn():
    florets = [floret_at(300, 200)]
    one, two = (drawn(*tags, florets=florets) for tags in ([tag()], [tag(), tag(OUTLINE - 150)]))
    assert one.shape[1] == two.shape[1]
    assert not np.array_equal(one[: min(len(one), len(two))], two[: min(len(one), len(two))])
