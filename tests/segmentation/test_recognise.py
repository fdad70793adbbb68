"""What makes a body a spike: enough certain openings, else rows; else it must be unreadable."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from spikecheck.segmentation.openings import RimCandidates
from spikecheck.segmentation.recognise import recognise_florets, slenderness
from spikecheck.thresholds import load_thresholds
from tests.segmentation.drawing import plain_strip, tissue_lab
from tests.segmentation.test_florets import LEFT, RIGHT, opening

LIMITS = load_thresholds().segmentation
STRIP = plain_strip()
CANDIDATES = RimCandidates(None, np.empty((0, 1)), np.zeros((1000, 361), np.float32))
PLACES = [(800, LEFT), (750, RIGHT), (700, LEFT), (650, RIGHT), (600, LEFT), (550, RIGHT)]


def body(lab=None, *, width_px: float = 300.0, cut_off: bool = False) -> SimpleNamespace:
    lab = tissue_lab(1000, 361) if lab is None else lab
    return SimpleNamespace(strip=STRIP, lab=lab, width_px=width_px, cut_off=cut_off)


def recognised(openings=(), located=None, *, thresholds=LIMITS):
    return recognise_florets(openings, CANDIDATES, located or body(), thresholds=thresholds)


def test_enough_certain_openings_make_a_spike_and_the_doubtful_come_along():
    least = LIMITS.openings_least
    certain = [opening(*place, log_odds=1.0) for place in PLACES[:least]]
    doubtful = opening(*PLACES[least], log_odds=LIMITS.opening_doubt_log_odds)
    found = recognised((*certain, doubtful))
    assert len(found.places) == least + 1
    assert found.sure == tuple(certain)
    assert found.rows is None
    assert recognised(certain[:-1]) is None  # one fewer, and nothing else speaks for a spike


def test_openings_that_are_sure_but_not_certain_make_no_spike():
    log_odds = (LIMITS.opening_log_odds + LIMITS.certain_log_odds) / 2
    assert recognised([opening(*place, log_odds=log_odds) for place in PLACES]) is None


def test_rows_of_spikelets_make_a_spike_that_nobody_cut():
    lab = tissue_lab(1000, 361)
    lab[..., 0] += 15 * np.cos(2 * np.pi * np.arange(1000) / 100)[:, None].astype(np.float32)
    found = recognised(located=body(lab))
    assert found.rows.spacing_px % 100 == pytest.approx(0, abs=3)
    assert not any(place.clipped for place in found.places)
    assert found.sure == ()


@pytest.mark.parametrize("cut_off", [False, True])
def test_a_whole_body_too_small_to_read_is_kept_without_florets(cut_off):
    small = body(width_px=LIMITS.readable_width_px - 1, cut_off=cut_off)
    found = recognised(located=small)
    assert (found is None) == cut_off
    assert cut_off or found.places == ()
    assert recognised(located=body(width_px=LIMITS.readable_width_px + 1)) is None


def test_a_blurred_body_is_kept_without_florets():
    noisy = body()  # its noise is as sharp as the smoothing lets it
    assert recognised(located=noisy, thresholds=replace(LIMITS, blurred_edge_px=0.1)).places == ()
    assert recognised(located=noisy, thresholds=replace(LIMITS, blurred_edge_px=99)) is None


@pytest.mark.parametrize(("length", "width"), [(900.0, 100.0), (400.0, 180.0)])
def test_the_slenderness_of_a_rectangle_is_its_length_over_its_width(length, width):
    outline = np.array([(0.0, 0.0), (0.0, width), (length, width), (length, 0.0)])
    axis = np.linspace((length, width / 2), (0.0, width / 2), 10)
    rectangle = SimpleNamespace(axis=axis, outline=outline)
    assert slenderness(rectangle) == pytest.approx(length / width)
