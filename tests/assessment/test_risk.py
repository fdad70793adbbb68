"""The risk model: arithmetic against published figures, and its laws."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.assessment import assess, clear_floret_risk, probability_of_any
from spikecheck.assessment.risk import selfed_share
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import AntherStage, Findings, PhotoQuality, QualityProblem, Verdict
from tests.builders import anther, findings, floret, quality

LIMITS = load_thresholds().assessment
PRIOR, RECALL = LIMITS.floret_leftover_prior, LIMITS.finder_recall
share = st.floats(0, 1)


@pytest.mark.parametrize(
    ("florets", "missed", "clean"),
    [
        (16, 0.005, 0.786), (20, 0.005, 0.740), (24, 0.005, 0.697), (30, 0.005, 0.637),
        (16, 0.01, 0.617), (20, 0.01, 0.547), (24, 0.01, 0.485), (30, 0.01, 0.405),
        (16, 0.001, 0.953), (20, 0.001, 0.942), (24, 0.001, 0.931), (30, 0.001, 0.914),
    ],
)  # fmt: skip
def test_spike_risk_agrees_with_binomial_arithmetic(florets: int, missed: float, clean: float):
    """Chance of a clean spike, (1 - q) ** (3 F), from a table of trade figures with 3 places.

    The table rounds 0.9305 up to 0.931, so one unit of the last place is allowed.
    """
    per_floret = probability_of_any([missed] * 3)
    assert 1 - probability_of_any([per_floret] * florets) == pytest.approx(clean, abs=1e-3)


def test_clear_floret_by_counting_cases():
    """Bayes by counting 10,000 florets: 490 hold an anther, of which 435.61 would be found."""
    held, found = 490.0, 490.0 * 0.889
    assert clear_floret_risk(1.0, prior=0.049, recall=0.889) == pytest.approx(
        (held - found) / (10_000 - found)
    )


def test_a_floret_not_looked_into_keeps_the_prior():
    assert clear_floret_risk(0.0, prior=PRIOR, recall=RECALL) == PRIOR


def test_certainty_on_both_sides_does_not_divide_by_zero():
    assert clear_floret_risk(1.0, prior=1.0, recall=1.0) == 1.0


@pytest.mark.parametrize(
    ("selfed", "seed_set", "expected"), [(0.0067, 0.5818, 0.0115), (0.049, 0.683, 0.072)]
)
def test_selfed_share_agrees_with_published_controls(
    selfed: float, seed_set: float, expected: float
):
    """University of Tennessee MSc theses 7744 (0.67 / 58.18 %) and 7752 (4.9 / 68.3 %), 1980."""
    assert selfed_share([selfed] * 20, [], cross_seed_set=seed_set) == pytest.approx(
        expected, abs=5e-4
    )


def test_no_floret_no_share():
    assert selfed_share([], [0.9], cross_seed_set=0.5) is None


@given(st.lists(share, max_size=40), st.randoms())
def test_any_is_bounded_and_blind_to_order(probabilities: list[float], random):
    shuffled = probabilities[:]
    random.shuffle(shuffled)
    assert probability_of_any(probabilities) == probability_of_any(shuffled)
    lowest = max(probabilities, default=0.0)
    assert lowest - 1e-12 <= probability_of_any(probabilities) <= 1


@given(st.lists(share, max_size=30), share)
def test_any_never_falls_with_one_more(probabilities: list[float], more: float):
    assert probability_of_any([*probabilities, more]) >= probability_of_any(probabilities) - 1e-12


@given(share, share, share, share)
def test_seeing_more_of_a_clear_floret_never_raises_its_risk(
    prior: float, recall: float, one: float, other: float
):
    less, more = sorted((one, other))
    risk_less = clear_floret_risk(less, prior=prior, recall=recall)
    risk_more = clear_floret_risk(more, prior=prior, recall=recall)
    assert 0 <= risk_more <= risk_less + 1e-12
    assert risk_less <= prior


@given(share, st.lists(share, max_size=20), st.lists(share, max_size=5))
def test_selfed_share_is_a_share(first: float, more: list[float], outside: list[float]):
    value = selfed_share([first, *more], outside, cross_seed_set=LIMITS.cross_seed_set)
    assert value is not None
    assert 0 <= value <= 1


IDS = [f"{side}{number}" for side in "LRF" for number in range(1, 13)]


@st.composite
def faces(draw) -> tuple[Findings, PhotoQuality]:
    """Any photo: florets of every kind, marks in and beside them, problems or none."""
    chosen = draw(st.lists(st.sampled_from(IDS), unique=True, max_size=20))
    seen = [floret(one, clipped=draw(st.booleans()), cavity_seen=draw(share)) for one in chosen]
    marks = [
        anther(
            draw(st.sampled_from([None, *IDS])),
            stage=draw(st.sampled_from(AntherStage)),
            near_anthesis=draw(st.booleans()),
            score=draw(share),
        )
        for _ in range(draw(st.integers(0, 4)))
    ]
    problems = draw(st.lists(st.sampled_from(QualityProblem), unique=True, max_size=3))
    found = findings(seen, marks, unexplained=draw(share), with_spike=draw(st.booleans()))
    return found, quality(*problems, usable=draw(st.booleans()))


@st.composite
def clean_faces(draw) -> tuple[Findings, PhotoQuality]:
    """A face with nothing to object to, so that laws are also tried on spikes that pass."""
    chosen = draw(st.lists(st.sampled_from(IDS), unique=True, min_size=8, max_size=20))
    seen = [floret(one, cavity_seen=draw(st.floats(0.5, 1))) for one in chosen]
    return findings(seen), quality()


any_face = faces() | clean_faces()


@given(st.lists(any_face, min_size=1, max_size=4))
def test_review_always_has_a_reason_and_pass_only_notes(photos):
    answer = assess(photos, thresholds=LIMITS)
    told = {str(reason.code) for reason in answer.reasons}
    if answer.verdict is Verdict.PASS:
        assert told <= {"one_face_only"}
        assert all(judged.status == "clear" for face in answer.florets for judged in face)
        assert answer.risk.p_leftover <= LIMITS.p_leftover_most
    else:
        assert told - {"one_face_only"}
    assert 0 <= answer.risk.p_leftover <= 1


@given(st.lists(any_face, min_size=1, max_size=3), any_face)
def test_one_more_photo_never_turns_review_into_pass_nor_lowers_the_risk(photos, more):
    before = assess(photos, thresholds=LIMITS)
    after = assess([*photos, more], thresholds=LIMITS)
    if before.verdict is Verdict.REVIEW:
        assert after.verdict is Verdict.REVIEW
    assert after.risk.p_leftover >= before.risk.p_leftover - 1e-12


@given(any_face, st.sampled_from([None, *IDS]), st.floats(LIMITS.anther_score_least, 1))
def test_one_more_anther_is_review_and_never_lowers_the_risk(face, place, score: float):
    found, judged = face
    more = findings(
        found.florets,
        [*found.anthers, anther(place, score=score)],
        unexplained=found.unexplained,
        with_spike=found.spike is not None,
    )
    before = assess([face], thresholds=LIMITS)
    after = assess([(more, judged)], thresholds=LIMITS)
    assert after.verdict is Verdict.REVIEW
    assert after.risk.p_leftover >= before.risk.p_leftover - 1e-12


@given(st.lists(any_face, min_size=2, max_size=4), st.randoms())
def test_the_order_of_the_photos_changes_neither_verdict_nor_risk(photos, random):
    shuffled = photos[:]
    random.shuffle(shuffled)
    one, other = (assess(order, thresholds=LIMITS) for order in (photos, shuffled))
    assert one.verdict is other.verdict
    assert one.risk.p_leftover == other.risk.p_leftover
    assert sorted(str(reason.code) for reason in one.reasons) == sorted(
        str(reason.code) for reason in other.reasons
    )


@given(any_face, st.sampled_from(list(QualityProblem)))
def test_a_photo_problem_never_passes_nor_lowers_the_risk(face, problem: QualityProblem):
    found, judged = face
    before = assess([face], thresholds=LIMITS)
    problems = tuple(dict.fromkeys((*judged.problems, problem)))
    after = assess([(found, quality(*problems))], thresholds=LIMITS)
    assert after.verdict is Verdict.REVIEW
    if not judged.problems and judged.usable:
        assert after.risk.p_leftover >= before.risk.p_leftover - 1e-12
