"""Overlays draw whatever was found, and what they draw can be seen."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.imaging.captions import legend_strip
from spikecheck.imaging.marks import MARKS, VERMILLION
from spikecheck.imaging.overlay import OVERLAY_LONGEST_PX, draw_overlay
from spikecheck.imaging.view import LONGEST_PX, SHORTEST_PX, choose_view
from spikecheck.vocabulary import (
    Anther,
    AntherStage,
    Box,
    Calibration,
    Findings,
    Floret,
    FloretStatus,
    JudgedFloret,
    ModelIdentity,
    Photo,
    PhotoQuality,
    PhotoResult,
    Point,
    QualityProblem,
    Reason,
    Side,
    Spike,
    Verdict,
)

MODEL = ModelIdentity("network-free", "1", "ab" * 32)


def blank(rows, columns, shade=120):
    return Photo("p.jpg", "0" * 64, np.full((rows, columns, 3), shade, np.uint8))


def result_of(photo, *, spike=None, florets=(), anthers=(), problems=(), others=0):
    findings = Findings(
        MODEL, spike, others, None, tuple(j.floret for j in florets), tuple(anthers), 0.0
    )
    quality = PhotoQuality(not problems, tuple(problems))
    return PhotoResult(
        photo.file, photo.sha256, photo.width, photo.height, None, quality, findings, tuple(florets)
    )


def judged(name, row, column, status=FloretStatus.CLEAR, half=20.0):
    box = Box(row - half, column - half, row + half, column + half)
    floret = Floret(name, Point(row, column), box, Side.LEFT, 0.5, True, 1.0)
    return JudgedFloret(floret, status, 0.1)


def anther_at(row, column, half=10.0):
    box = Box(row - half, column - half, row + half, column + half)
    return Anther("L1", Point(row, column), box, 3.0, AntherStage.YELLOW, True, False, 0.9)


def upright_spike(top, bottom, column, half_width):
    left, right = column - half_width, column + half_width
    outline = np.array([[top, left], [top, right], [bottom, right], [bottom, left]], float)
    axis = np.array([[bottom, column], [top, column]], float)
    return Spike(outline, axis, cut_off=False, hidden_share=0)


def shows(overlay, colour):
    return bool((overlay == np.array(colour, np.uint8)).all(axis=2).any())


far = st.floats(-1e6, 1e6)
points = st.builds(Point, far, far)
boxes = st.builds(
    lambda top, left, tall, wide: Box(top, left, top + tall, left + wide),
    far, far, st.floats(0.01, 1e5), st.floats(0.01, 1e5),
)  # fmt: skip
share = st.floats(0, 1)
seen = st.builds(
    Floret, st.text(max_size=5), points, boxes, st.sampled_from(Side), share, st.booleans(), share
)
florets = st.builds(JudgedFloret, seen, st.sampled_from(FloretStatus), share)
anthers = st.builds(
    Anther, st.none(), points, boxes, st.none(), st.sampled_from(AntherStage), st.booleans(),
    st.booleans(), share,
)  # fmt: skip


def arrays(least):
    pairs = st.lists(st.tuples(far, far), min_size=least, max_size=12)
    return pairs.map(lambda rows: np.array(rows, np.float64))


spikes = st.none() | st.builds(Spike, arrays(3), arrays(2), st.booleans(), share)
sizes = st.sampled_from([(1, 1), (1, 3000), (3000, 1), (7, 5), (480, 640)])


results = st.builds(
    dict,
    spike=spikes,
    florets=st.lists(florets, max_size=8),
    anthers=st.lists(anthers, max_size=5),
    problems=st.lists(st.sampled_from(QualityProblem), unique=True),
    others=st.integers(0, 2),
)
messages = st.lists(st.text(max_size=300), max_size=4)


@settings(max_examples=60, deadline=None)
@given(sizes, results, st.none() | st.sampled_from(Verdict), messages)
def test_any_valid_result_can_be_drawn(size, parts, verdict, told):
    photo = blank(*size)
    before = photo.pixels.copy()
    reasons = [Reason("anther_left", message) for message in told]
    overlay = draw_overlay(photo, result_of(photo, **parts), verdict=verdict, reasons=reasons)
    assert overlay.dtype == np.uint8
    assert overlay.ndim == 3
    assert max(overlay.shape) <= OVERLAY_LONGEST_PX
    assert np.array_equal(photo.pixels, before)


@pytest.mark.parametrize("status", FloretStatus)
def test_each_status_shows_its_colour_beside_the_legend(status):
    photo = blank(1500, 1200)
    spike = upright_spike(300, 1200, 600, 80)
    without = draw_overlay(photo, result_of(photo, spike=spike))
    found = draw_overlay(
        photo, result_of(photo, spike=spike, florets=[judged("L1", 700, 560, status)])
    )
    colour = np.array(MARKS[status].colour)
    counts = [(picture == colour).all(axis=2).sum() for picture in (without, found)]
    assert counts[1] > counts[0] + 100


def test_the_inside_of_a_marked_floret_is_left_free():
    photo = blank(1500, 1200)
    result = result_of(photo, florets=[judged("L1", 700, 600, half=40)])
    overlay = draw_overlay(photo, result)
    row = int(np.flatnonzero((overlay[:, 200] == 120).all(axis=1))[0]) + 700
    assert overlay[row, 600].tolist() == [120, 120, 120]


def test_anthers_are_marked():
    photo = blank(1500, 1200)
    marked = draw_overlay(photo, result_of(photo, anthers=[anther_at(700, 600)]))
    bare = draw_overlay(photo, result_of(photo))
    assert not shows(bare, VERMILLION)
    assert shows(marked, VERMILLION)


def test_the_legend_explains_only_what_the_picture_shows():
    photo = blank(1500, 1200)
    bare, floret, both = (
        legend_strip(result_of(photo, **parts), width_px=900, size_px=24).shape[0]
        for parts in (
            {},
            {"florets": [judged("L1", 700, 600)]},
            {"florets": [judged("L1", 700, 600)], "anthers": [anther_at(700, 600)]},
        )
    )
    assert bare == 0
    assert 0 < floret < both


def test_nothing_is_drawn_over_an_anther_in_a_marked_floret():
    leaf = (10, 120, 30)  # a colour no text or mark mixes to
    photo = Photo("p.jpg", "0" * 64, np.full((1500, 1200, 3), leaf, np.uint8))
    result = result_of(
        photo,
        spike=upright_spike(300, 1200, 500, 200),
        florets=[judged("L1", 700, 600, FloretStatus.ANTHER, half=40)],
        anthers=[anther_at(700, 640, half=30)],
    )
    view = choose_view(photo, result)
    bare = (draw_overlay(photo, result) == leaf).all(axis=2)
    top = np.flatnonzero(bare.any(axis=1))[0]
    left = np.flatnonzero(bare.any(axis=0))[0]
    row, column = (np.array([700, 640]) - (view.top, view.left)) * view.scale + (top, left)
    assert bare[round(row) - 25 : round(row) + 25, round(column) - 25 : round(column) + 25].all()


def test_the_view_closes_in_on_one_spike():
    photo = blank(4000, 3000)
    view = choose_view(photo, result_of(photo, spike=upright_spike(1000, 2000, 1500, 60)))
    assert (view.top, view.bottom) == (900, 2100)
    assert (view.left, view.right) == (1200, 1800)
    assert view.scale == 1


def test_the_view_takes_in_an_anther_outside_the_spike():
    photo = blank(4000, 3000)
    spike = upright_spike(1000, 2000, 1500, 60)
    view = choose_view(photo, result_of(photo, spike=spike, anthers=[anther_at(3000, 1500)]))
    assert view.bottom > 3010


def test_the_view_shows_all_when_there_is_no_spike_or_more_than_one():
    photo = blank(4000, 3000)
    spike = upright_spike(1000, 2000, 1500, 60)
    for result in (result_of(photo), result_of(photo, spike=spike, others=1)):
        view = choose_view(photo, result)
        assert (view.top, view.left, view.bottom, view.right) == (0, 0, 4000, 3000)
        assert view.rows == LONGEST_PX


def test_small_photos_are_enlarged_and_places_follow():
    photo = blank(120, 60)
    view = choose_view(photo, result_of(photo))
    assert view.rows == SHORTEST_PX
    middle = np.array([59.5, 29.5])  # whole numbers are pixel centres
    assert view.place(middle) == pytest.approx(((view.rows - 1) / 2, (view.columns - 1) / 2))


def test_reasons_or_else_problems_are_told():
    photo = blank(1500, 1200)
    result = result_of(photo, problems=[QualityProblem.DARK])
    plain = draw_overlay(photo, result_of(photo))
    told = draw_overlay(photo, result)
    reason = draw_overlay(photo, result, reasons=[Reason("dark", "Turn on the light.")])
    assert not np.array_equal(told, plain)
    assert not np.array_equal(told, reason)


def test_verdicts_look_different():
    photo = blank(1500, 1200)
    seen = [draw_overlay(photo, result_of(photo), verdict=verdict) for verdict in Verdict]
    assert not np.array_equal(*seen)


def test_a_mark_at_or_below_the_pass_limit_is_not_drawn():
    photo, spike = blank(600, 400), upright_spike(100, 500, 200, 40)
    florets = [judged("L1", 300, 170)]
    limit = Calibration("made up", 0.9, 99, 0, 0.01, 0.01, "0" * 64)
    with_mark = result_of(photo, spike=spike, florets=florets, anthers=[anther_at(300, 170)])
    limited = replace(with_mark, findings=replace(with_mark.findings, calibration=limit))
    without = result_of(photo, spike=spike, florets=florets)
    drawn, undrawn, clean = (draw_overlay(photo, each) for each in (with_mark, limited, without))
    assert np.array_equal(undrawn, clean)
    assert not np.array_equal(drawn, clean)
