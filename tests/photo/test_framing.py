"""What the findings alone tell of a photo."""

from __future__ import annotations

import numpy as np
import pytest

from spikecheck.photo.framing import framing_measures, framing_problems, reckoned_px_per_mm
from spikecheck.vocabulary import Box, Floret, QualityProblem, Side

PIXELS = np.zeros((2000, 600, 3), np.uint8)


def _floret(number, *, clipped):
    box = Box(10 * number, 10, 10 * number + 8, 20)
    return Floret(f"L{number}", box.centre, box, Side.LEFT, 0.5, clipped, cavity_seen=1.0)


def _problems(findings, quality):
    return set(framing_problems(findings, thresholds=quality))


def test_nothing_wrong(found, quality):
    assert _problems(found(PIXELS), quality) == set()


@pytest.mark.parametrize(
    ("px_per_mm", "low", "small"),
    [(20.0, 18, False), (19.9, 19, True), (45.0, 30, False), (25.0, 10.5, False), (25.0, 9, True)],
)
def test_too_small_by_best_value_or_by_lower_bound(px_per_mm, low, small, found, quality):
    findings = found(PIXELS, px_per_mm=px_per_mm, low=low)
    assert (QualityProblem.TOO_SMALL in _problems(findings, quality)) == small


@pytest.mark.parametrize(("rows", "small"), [(1700, True), (1900, False)])
def test_without_a_scale_the_spike_must_be_long(rows, small, found, quality):
    """88 mm at 20 px/mm are 1760 px."""
    findings = found(PIXELS[:rows], px_per_mm=None)
    assert (QualityProblem.TOO_SMALL in _problems(findings, quality)) == small
    reckoned = reckoned_px_per_mm(findings, findings.spike, thresholds=quality)
    assert reckoned == pytest.approx((rows - 16) / 88)


def test_blur_is_reckoned_with_the_lower_bound(found, quality):
    findings = found(PIXELS, px_per_mm=30, low=21)
    assert reckoned_px_per_mm(findings, findings.spike, thresholds=quality) == 21


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        ({"spike": None}, QualityProblem.NO_SPIKE),
        ({"other_spikes": 1}, QualityProblem.SEVERAL_SPIKES),
        ({"cut_off": True}, QualityProblem.CUT_OFF),
        ({"hidden_share": 0.06}, QualityProblem.OCCLUDED),
    ],
)
def test_what_the_finder_reports(changes, problem, found, quality):
    assert _problems(found(PIXELS, **changes), quality) == {problem}


def test_a_covered_corner_is_left_to_the_florets(found, quality):
    assert _problems(found(PIXELS, hidden_share=0.04), quality) == set()


def test_spikes_without_one_in_focus(found, quality):
    findings = found(PIXELS, spike=None, other_spikes=3)
    assert _problems(findings, quality) == {
        QualityProblem.NO_SPIKE, QualityProblem.SEVERAL_SPIKES,
    }  # fmt: skip


@pytest.mark.parametrize(("unclipped", "reported"), [(0, False), (2, False), (3, True), (10, True)])
def test_not_prepared_from_a_fifth_on(unclipped, reported, found, quality):
    florets = tuple(_floret(n, clipped=n >= unclipped) for n in range(10))
    findings = found(PIXELS, florets=florets)
    assert (QualityProblem.NOT_PREPARED in _problems(findings, quality)) == reported
    assert framing_measures(findings)["unclipped_share"] == pytest.approx(unclipped / 10)


def test_without_florets_nothing_is_said_of_preparation(found, quality):
    findings = found(PIXELS)
    assert QualityProblem.NOT_PREPARED not in _problems(findings, quality)
    assert "unclipped_share" not in framing_measures(findings)
