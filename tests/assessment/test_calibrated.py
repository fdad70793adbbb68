"""Verdicts of a calibrated finder: pass limit, probabilities of florets, unfamiliar photos."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.assessment import assess, promise
from spikecheck.assessment.conformal import control_risk, limits_below
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import FloretStatus, QualityProblem, Verdict
from tests.builders import anther, calibration, findings, floret, florets, quality

LIMITS = load_thresholds().assessment
LIMIT = 0.3
ABOVE = float(np.nextafter(LIMIT, 1))


def judge(*seen):
    return assess([(each, quality()) for each in seen], thresholds=LIMITS)


def calibrated(*args, limit: float = LIMIT, **kind):
    return findings(*args, calibration=calibration(limit), **kind)


def codes(answer) -> list[str]:
    return [str(reason.code) for reason in answer.reasons]


def with_probability(p: float, **kind):
    return [*florets(), floret("F1", p_anther=p, **kind)]


@pytest.mark.parametrize(("score", "verdict"), [(LIMIT, Verdict.PASS), (ABOVE, Verdict.REVIEW)])
def test_a_mark_counts_above_the_pass_limit_and_not_at_it(score: float, verdict: Verdict):
    assert judge(calibrated(anthers=[anther("L2", score=score)])).verdict is verdict


@pytest.mark.parametrize(("p", "verdict"), [(LIMIT, Verdict.PASS), (ABOVE, Verdict.REVIEW)])
def test_a_floret_counts_above_the_pass_limit_and_not_at_it(p: float, verdict: Verdict):
    assert judge(calibrated(with_probability(p))).verdict is verdict


def test_a_strict_pass_limit_is_stricter_than_the_threshold():
    mark = anther("L2", score=LIMITS.anther_score_least / 2)
    assert judge(findings(anthers=[mark])).verdict is Verdict.PASS
    assert judge(calibrated(anthers=[mark], limit=0.01)).verdict is Verdict.REVIEW


def test_a_floret_that_may_hold_an_anther_is_named_with_what_to_do():
    answer = judge(calibrated(with_probability(0.8)))
    assert codes(answer) == ["anther_left"]
    assert answer.reasons[0].message == (
        "Possible anther in floret F1 (front, 1st from the base): look into it, pull out what is "
        "left and take the photo again."
    )
    assert (answer.reasons[0].floret, answer.reasons[0].place) == ("F1", floret("F1").centre)
    assert answer.florets[0][-1].status is FloretStatus.ANTHER


def test_a_floret_with_a_mark_is_told_by_its_mark_alone():
    answer = judge(calibrated(with_probability(0.8), [anther("F1", score=0.9)]))
    assert len(answer.reasons) == 1
    assert answer.reasons[0].message.startswith("Green anther in floret F1")


def test_the_likeliest_of_several_florets_comes_first():
    seen = [*florets(), floret("F1", p_anther=0.5), floret("F2", p_anther=0.7)]
    assert [reason.floret for reason in judge(calibrated(seen)).reasons] == ["F2", "F1"]


def test_a_suspected_floret_that_cannot_be_looked_into_has_one_reason():
    answer = judge(calibrated(with_probability(0.8, cavity_seen=0.1)))
    assert codes(answer) == ["anther_left"]


def test_without_calibration_a_probability_counts_from_the_low_threshold_on():
    assert judge(findings(with_probability(LIMITS.anther_score_least))).verdict is Verdict.REVIEW
    assert judge(findings(with_probability(LIMITS.anther_score_least - 0.01))).verdict is (
        Verdict.PASS
    )


def test_a_probability_stands_for_what_shows_and_the_prior_for_what_does_not():
    """Half the opening seen: of 10,000 florets 490 hold an anther, 245 of them out of sight."""
    hidden = 245 / (10_000 - 245)
    judged = judge(calibrated(with_probability(0.02, cavity_seen=0.5))).florets[0][-1]
    assert judged.p_leftover == pytest.approx(1 - (1 - hidden) * (1 - 0.02))


def test_a_wholly_seen_floret_is_as_likely_to_hold_one_as_its_probability():
    judged = judge(calibrated(with_probability(0.02))).florets[0][-1]
    assert judged.p_leftover == pytest.approx(0.02)


@pytest.mark.parametrize(
    ("kind", "without"),
    [
        ({"cavity_seen": 0.1}, LIMITS.floret_leftover_prior),
        ({"clipped": False}, LIMITS.not_clipped_leftover),
    ],
)
def test_a_floret_not_seen_or_not_clipped_keeps_its_prior_beside_the_probability(kind, without):
    judged = judge(calibrated(with_probability(0.2, **kind))).florets[0][-1]
    assert judged.p_leftover == pytest.approx(1 - (1 - without) * 0.8)


def test_a_mark_outside_that_does_not_count_still_has_its_risk():
    few, more = calibrated(), calibrated(anthers=[anther(None, score=0.2)])
    assert judge(more).verdict is Verdict.PASS
    clean = 1 - judge(few).risk.p_leftover
    assert 1 - judge(more).risk.p_leftover == pytest.approx(clean * 0.8)


def test_many_doubtful_florets_are_too_many_even_below_the_limit():
    seen = [floret(f"L{n}", p_anther=0.1) for n in range(1, 10)]
    answer = judge(calibrated(seen))
    assert codes(answer) == ["risk_too_high"]


@pytest.mark.parametrize("problems", [(), (QualityProblem.DARK,)])
def test_an_unfamiliar_photo_is_review_and_shows_nothing(problems):
    face = (calibrated(unfamiliar=True), quality(*problems))
    answer = assess([face], thresholds=LIMITS)
    assert answer.verdict is Verdict.REVIEW
    assert codes(answer) == [*problems, "unfamiliar"]
    assert "unlike the ones this check knows" in answer.reasons[-1].message
    assert {judged.status for judged in answer.florets[0]} == {FloretStatus.NOT_SEEN}


def test_an_anther_in_an_unfamiliar_photo_is_told_first():
    answer = judge(calibrated(anthers=[anther()], unfamiliar=True))
    assert codes(answer) == ["anther_left", "unfamiliar"]


def test_calibrated_means_every_photo_is_and_none_is_unfamiliar():
    known, strange, rules = calibrated(), calibrated(unfamiliar=True), findings()
    assert judge(known, known).risk.calibrated is True
    assert judge(known, strange).risk.calibrated is False
    assert judge(known, rules).risk.calibrated is False


def test_the_promise_is_a_frequency_with_what_it_rests_on():
    assert promise([calibration(spikes=399, passed=1, alpha=0.005)]) == (
        "Of spikes with an anther in sight, at most 1 in 200 passes by mistake, on photos like the "
        "399 this was measured on (made up for tests)."
    )


def test_the_promise_is_what_was_asked_for_even_where_fewer_passed():
    assert "1 in 100 " in promise([calibration(spikes=399, passed=0, alpha=0.01)])


@pytest.mark.parametrize(("alpha", "one_in"), [(0.01, 100), (0.02, 50), (0.007, 142), (0.1, 10)])
def test_the_promise_is_never_rounded_to_less(alpha: float, one_in: int):
    assert f"1 in {one_in} " in promise([calibration(spikes=999, passed=0, alpha=alpha)])


def test_several_photos_keep_the_weakest_promise():
    strong, weak = calibration(alpha=0.005), calibration(alpha=0.02)
    assert "1 in 50 " in promise([strong, weak])


def test_nothing_is_promised_where_a_photo_was_not_calibrated():
    assert "is not known" in promise([calibration(), None])
    assert "is not known" in promise([])


p_of = st.one_of(st.floats(0, 1), st.sampled_from([0.0, LIMIT, 1.0]))


@st.composite
def faces(draw):
    """A face with scores of every kind; every second one without anything else to object to."""
    cavities = st.floats(0.5, 1) if draw(st.booleans()) else st.floats(0, 1)
    chosen = [f"{side}{number}" for side in "LR" for number in range(1, draw(st.integers(5, 9)))]
    scores = st.floats(0, 0.05) if draw(st.booleans()) else p_of
    seen = [
        floret(one, cavity_seen=draw(cavities), p_anther=draw(st.none() | scores)) for one in chosen
    ]
    marks = [
        anther(draw(st.sampled_from([None, *chosen])), score=draw(p_of))
        for _ in range(draw(st.integers(0, 3)))
    ]
    problems = draw(st.lists(st.sampled_from(QualityProblem), unique=True, max_size=1))
    return findings(seen, marks), quality(*(problems if draw(st.booleans()) else ()))


def at_limit(faces_seen, limit: float):
    return [
        (replace(found, calibration=calibration(limit)), judged) for found, judged in faces_seen
    ]


@given(st.lists(faces(), min_size=1, max_size=2), st.tuples(st.floats(0, 1), st.floats(0, 1)))
def test_what_passes_at_a_limit_passes_at_every_laxer_one(seen, limits):
    """What conformal risk control needs of the whole verdict, not only of a score."""
    strict, lax = (
        assess(at_limit(seen, limit), thresholds=LIMITS).verdict for limit in sorted(limits)
    )
    assert not (strict is Verdict.PASS and lax is Verdict.REVIEW)


@given(faces(), st.floats(0, 1))
def test_a_spike_passes_at_a_limit_as_its_highest_score_and_the_open_limit_say(face, limit):
    found, _ = face
    scores = [mark.score for mark in found.anthers]
    scores += [one.p_anther for one in found.florets if one.p_anther is not None]
    opened = assess(at_limit([face], 1.0), thresholds=LIMITS).verdict
    there = assess(at_limit([face], limit), thresholds=LIMITS).verdict
    assert (there is Verdict.PASS) == (opened is Verdict.PASS and max(scores, default=0) <= limit)


@given(faces(), st.floats(0, 1))
def test_an_unfamiliar_photo_never_passes(face, limit):
    (found, judged), = at_limit([face], limit)  # fmt: skip
    strange = assess([(replace(found, unfamiliar=True), judged)], thresholds=LIMITS)
    assert strange.verdict is Verdict.REVIEW


def test_verdicts_of_simulated_spikes_keep_the_promise():
    """Half the spikes draw the limit, the other half tells how many pass: on average at most alpha.

    The scores are no probabilities of anything: nothing of the promise rests on the network.
    """
    rng = np.random.default_rng(22)

    def spike():
        seen = [floret(f"L{n}", p_anther=float(rng.beta(0.3, 20))) for n in range(1, 9)]
        return findings(seen, [anther("L2", score=float(rng.beta(0.8, 1)))])

    def passes(found, limit: float) -> bool:
        return assess(at_limit([(found, quality())], limit), thresholds=LIMITS).verdict is (
            Verdict.PASS
        )

    alpha, shares = 0.1, []
    for _ in range(60):
        spikes = [spike() for _ in range(38)]
        scores = [max([mark.score for mark in one.anthers] + [f.p_anther for f in one.florets])
                  for one in spikes[:19]]  # fmt: skip
        limits = limits_below(np.array(scores))
        table = np.array([[passes(one, limit) for limit in limits] for one in spikes[:19]])
        limit = control_risk(limits, table, alpha=alpha).limit
        shares.append(np.mean([passes(one, limit) for one in spikes[19:]]))
    assert 0 < np.mean(shares) <= alpha + 4 * np.std(shares) / np.sqrt(len(shares))
