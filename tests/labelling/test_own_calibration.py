"""A pass limit from own spikes: what counts as one spike, what is left out, what is promised."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.assessment.conformal import Outcome
from spikecheck.labelling.own_calibration import (
    ScoredSpike,
    choose_limit,
    score_spikes,
    set_digest,
)
from spikecheck.pipeline import check_photos
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import (
    PhotoTruth,
    Point,
    QualityProblem,
    TrueAnther,
)
from tests.builders import MODEL, anther, findings, photo, quality


def spikes(leftover, clean=(), held_back=0):
    return [
        *(ScoredSpike(f"l{n}", score, True, False) for n, score in enumerate(leftover)),
        *(ScoredSpike(f"c{n}", score, False, False) for n, score in enumerate(clean)),
        *(ScoredSpike(f"h{n}", 0.0, True, True) for n in range(held_back)),
    ]


def chosen(scored, alpha=0.01):
    return choose_limit(scored, alpha=alpha, name="own", sha256="0" * 64)


@pytest.mark.parametrize(
    ("leftovers", "missed", "alpha", "bound"),
    # Facts of conformal risk control, (missed + 1) / (n + 1): 99 and 0 give 1 %, 199 and 1 give
    # 1 %, 499 and 3 give 0.8 %, 999 and 8 give 0.9 % (arXiv 2208.02814, by arithmetic).
    [(99, 0, 0.01, 0.0100), (199, 1, 0.01, 0.0100), (499, 3, 0.009, 0.008),
     (999, 8, 0.0095, 0.009)],
)  # fmt: skip
def test_the_promise_is_that_of_conformal_risk_control(leftovers, missed, alpha, bound):
    scored = spikes([0.1] * missed + [0.9] * (leftovers - missed), [0.05, 0.2, 0.95])
    outcome = chosen(scored, alpha)
    assert outcome.calibration is not None
    assert outcome.calibration.bound == pytest.approx(bound)
    assert outcome.calibration.passed == missed
    assert outcome.wanted.clean_passed == 2


def test_too_few_spikes_choose_nothing_and_say_what_they_can_promise():
    outcome = chosen(spikes([0.9] * 30))
    assert outcome.calibration is None
    assert outcome.wanted.control.outcome is Outcome.TOO_FEW
    assert outcome.wanted.control.spikes_least == 99
    assert [promise.control.alpha for promise in outcome.promises] == [0.05, 0.10, 0.20]


def test_missed_leftovers_choose_nothing():
    outcome = chosen(spikes([0.9] * 95 + [0.0] * 5))
    assert outcome.calibration is None
    assert outcome.wanted.control.outcome is Outcome.TOO_LAX


def test_spikes_that_never_pass_are_left_out():
    """100 blurred ones must not make 50 sharp ones look like 150."""
    outcome = chosen(spikes([0.9] * 50, held_back=100))
    assert (outcome.leftover_spikes, outcome.held_back) == (50, 100)
    assert outcome.calibration is None


@settings(deadline=None)
@given(st.integers(0, 2**32 - 1), st.sampled_from([0.05, 0.1, 0.3]))
def test_no_more_calibration_spikes_pass_than_the_bound_counts(seed, alpha):
    scores = np.random.default_rng(seed).beta(2, 1, 60)
    outcome = chosen(spikes(scores), alpha)
    assert outcome.calibration is not None
    passed = sum(score <= outcome.calibration.pass_score_most for score in scores)
    assert passed == outcome.calibration.passed
    assert (passed + 1) / 61 <= alpha


def test_simulated_leftover_spikes_pass_as_seldom_as_promised():
    rng = np.random.default_rng(0)
    passed = []
    for _ in range(400):
        limit = chosen(spikes(rng.beta(2, 1, 49)), 0.1).calibration.pass_score_most
        passed.append(rng.beta(2, 1, 50) <= limit)
    # 20 000 fresh spikes; sets of 49 with a tenth: 4 may pass, so 0.1 is promised exactly.
    share = np.mean(passed)
    standard_error = np.std(np.mean(passed, axis=1)) / np.sqrt(400)
    assert abs(share - 0.1) < 4 * standard_error


def checked(name, seen, *, judged=None, leftover=True, spike=None, monkeypatch):
    monkeypatch.setattr(
        "spikecheck.photo.judge_quality", lambda *_, **__: judged or quality(), raising=False
    )

    class Stands:
        model = MODEL

        def find(self, _):
            return seen

    result = check_photos([photo(name)], finder=Stands(), thresholds=load_thresholds())
    there = (TrueAnther(Point(9, 9)),) if leftover else ()
    return Path(name), PhotoTruth(name, 400, 1000, there, spike=spike), result


def test_the_score_is_the_highest_of_all_photos_of_a_spike(monkeypatch):
    low, high = (findings(anthers=[anther("L3", score=score)]) for score in (0.3, 0.6))
    pairs = [
        checked("a.jpg", low, spike="T", monkeypatch=monkeypatch),
        checked("b.jpg", high, leftover=False, spike="T", monkeypatch=monkeypatch),
        checked("c.jpg", findings(), leftover=False, monkeypatch=monkeypatch),
    ]
    assert score_spikes(pairs) == (
        ScoredSpike("spike T", 0.6, True, False), ScoredSpike("photo c.jpg", 0.0, False, False),
    )  # fmt: skip


def test_a_photo_that_goes_to_review_anyway_is_held_back(monkeypatch):
    pairs = [
        checked("a.jpg", findings(anthers=[anther("L3")]), monkeypatch=monkeypatch),
        checked("b.jpg", findings(), judged=quality(QualityProblem.DARK), monkeypatch=monkeypatch),
        checked("c.jpg", findings([]), monkeypatch=monkeypatch),
    ]
    assert [spike.held_back for spike in score_spikes(pairs)] == [False, True, True]


def test_the_digest_is_of_the_set_not_of_its_order():
    one, two = ("a" * 64, b"{}"), ("b" * 64, b"{1}")
    assert set_digest([one, two]) == set_digest([two, one])
    assert set_digest([one]) != set_digest([one, two])
    assert set_digest([one]) != set_digest([("a" * 64, b"{2}")])
