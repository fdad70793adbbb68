"""Reasons: order of urgency, wording, bounded length."""

from __future__ import annotations

import re

import pytest

from spikecheck.assessment import assess
from spikecheck.assessment.wording import anther_name, floret_name
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import AntherStage, QualityProblem, Reason
from tests.builders import anther, findings, floret, florets, quality

LIMITS = load_thresholds().assessment
MOST = round(LIMITS.reasons_listed_most)


def reasons(*photos) -> tuple[Reason, ...]:
    return assess(list(photos), thresholds=LIMITS).reasons


def test_reasons_stand_in_the_order_of_urgency():
    seen = [*florets(), floret("L9", clipped=False), floret("R9", cavity_seen=0.1)]
    marks = [anther(None), anther("L2"), anther("L4", stage=AntherStage.YELLOW)]
    everything = reasons(
        (findings(unexplained=0.5), quality(QualityProblem.OCCLUDED)),
        (findings(seen, marks, unexplained=0.5), quality()),
    )
    assert [reason.code for reason in everything] == [
        "too_close_to_anthesis", "anther_left", "anther_outside_floret", "floret_not_clipped",
        "occluded", "floret_not_seen", "part_not_read",
    ]  # fmt: skip
    assert [reason.photo for reason in everything] == [1, 1, 1, 1, 0, 1, 1]


def test_the_ripest_and_surest_anther_comes_first():
    marks = [
        anther("L1", near_anthesis=True, score=1.0),
        anther("L2", stage=AntherStage.YELLOW, score=0.4),
        anther("L3", stage=AntherStage.YELLOW, score=0.8),
        anther("L4", stage=AntherStage.DEHISCED, score=0.3),
    ]
    found = reasons((findings(anthers=marks), quality()))
    ripe = [reason.floret for reason in found if reason.code == "too_close_to_anthesis"]
    assert ripe == ["L4", "L3", "L2", "L1"]


def test_a_spike_that_is_not_prepared_says_so_before_its_florets():
    seen = florets(clipped=False)
    problem = quality(QualityProblem.NOT_PREPARED, usable=False)
    found = [reason.code for reason in reasons((findings(seen), problem))]
    assert found[:2] == ["not_prepared", "floret_not_clipped"]


def test_in_a_spike_that_is_not_prepared_its_florets_are_told_in_one_line():
    problem = quality(QualityProblem.NOT_PREPARED, usable=False)
    found = reasons((findings([*florets(5, clipped=False), floret("F9")]), problem))
    together = [reason for reason in found if reason.code == "floret_not_clipped"]
    assert [reason.message for reason in together] == [
        "No cut opening was seen at 10 florets: they are marked in the photo."
    ]
    assert together[0].floret is None
    one = reasons((findings([*florets(5), floret("F9", clipped=False)]), problem))
    assert [reason.floret for reason in one] == [None, "F9"]


def test_in_a_photo_that_cannot_be_judged_other_problems_come_before_preparation():
    problems = quality(QualityProblem.DEFOCUS, QualityProblem.NOT_PREPARED)
    found = [reason.code for reason in reasons((findings(), problems))]
    assert found[:2] == ["defocus", "not_prepared"]


def test_a_long_list_of_one_kind_ends_with_how_many_more_there_are():
    seen = florets(10, clipped=False)
    unclipped = [
        reason
        for reason in reasons((findings(seen), quality()))
        if reason.code == "floret_not_clipped"
    ]
    assert len(unclipped) == MOST + 1
    assert (
        unclipped[-1].message
        == f"And {20 - MOST} more florets not clipped are marked in the photo."
    )
    assert unclipped[-1].floret is None


def test_a_list_that_just_fits_has_no_line_about_more():
    found = reasons((findings(anthers=[anther(None) for _ in range(MOST)]), quality()))
    assert len(found) == MOST
    assert "more" not in found[-1].message


def test_one_more_is_told_in_the_singular():
    marks = [anther(None) for _ in range(MOST + 1)]
    found = reasons((findings(anthers=marks), quality()))
    assert found[MOST].message == "And 1 more anther outside a floret is marked in the photo."


@pytest.mark.parametrize(
    ("count", "ending"),
    [
        (1, "the base): pull it out and take the photo again."),
        (2, "the base), and 1 more such mark there: pull them out and take the photo again."),
        (3, "the base), and 2 more such marks there: pull them out and take the photo again."),
    ],
)
def test_anthers_of_one_floret_share_a_reason_that_counts_them(count: int, ending: str):
    marks = [anther("L2", score=0.5 + 0.1 * number) for number in range(count)]
    found = reasons((findings(anthers=marks), quality()))
    assert len(found) == 1
    assert found[0].message.endswith(ending)
    assert found[0].place == marks[-1].centre


def test_what_to_do_about_ripe_anthers_is_said_once():
    marks = [anther("L2", stage=AntherStage.YELLOW), anther("L4", stage=AntherStage.DEHISCED)]
    first, second = reasons((findings(anthers=marks), quality()))
    assert first.message.endswith("Set the spike aside unless you are sure that none was shed.")
    assert second.message.endswith("yellow anther in floret L2 (left side, 2nd from the base)).")


def test_ripe_and_green_anthers_of_one_floret_keep_reasons_of_their_own():
    marks = [anther("L2"), anther("L2", stage=AntherStage.YELLOW)]
    found = reasons((findings(anthers=marks), quality()))
    assert [reason.code for reason in found] == ["too_close_to_anthesis", "anther_left"]


def test_a_floret_without_any_opening_is_told_otherwise_than_one_seen_in_part():
    seen = [*florets(), floret("R8", cavity_seen=0.0), floret("R9", cavity_seen=0.1)]
    none, part = reasons((findings(seen), quality()))
    assert none.message.startswith(
        "No cut opening was seen at floret R8 (right side, 8th from the base): not clipped, "
        "turned away or hidden. Turn the spike"
    )
    assert part.message.startswith("The opening of floret R9 (right side, 9th from the base)")


@pytest.mark.parametrize(
    ("floret_id", "name"),
    [
        ("L1", "L1 (left side, 1st from the base)"),
        ("R2", "R2 (right side, 2nd from the base)"),
        ("F3", "F3 (front, 3rd from the base)"),
        ("L4", "L4 (left side, 4th from the base)"),
        ("L11", "L11 (left side, 11th from the base)"),
        ("L12", "L12 (left side, 12th from the base)"),
        ("L13", "L13 (left side, 13th from the base)"),
        ("R21", "R21 (right side, 21st from the base)"),
    ],
)
def test_a_floret_is_named_by_id_side_and_number(floret_id: str, name: str):
    assert floret_name(floret(floret_id)) == name


@pytest.mark.parametrize(
    ("mark", "sure", "name"),
    [
        (anther(), True, "green anther"),
        (anther(near_anthesis=True), True, "yellow-green anther"),
        (anther(stage=AntherStage.YELLOW), True, "yellow anther"),
        (anther(stage=AntherStage.DEHISCED, near_anthesis=True), True, "dehisced anther"),
        (anther(broken=True), True, "piece of a green anther"),
        (anther(stage=AntherStage.YELLOW, broken=True), False, "possible piece of a yellow anther"),
    ],
)
def test_an_anther_is_named_by_stage_and_certainty(mark, sure, name):
    assert anther_name(mark, sure=sure) == name


def test_an_unsure_anther_is_called_possible():
    unsure = anther(score=LIMITS.anther_score_sure - 0.01)
    message = reasons((findings(anthers=[unsure]), quality()))[0].message
    assert message.startswith("Possible green anther in floret L3")


def test_every_reason_is_one_or_more_whole_sentences():
    seen = [*florets(10, clipped=False), floret("F9", cavity_seen=0.1)]
    marks = [anther(None), anther("L2"), anther("L4", stage=AntherStage.DEHISCED, score=0.2)]
    several = reasons(
        (findings(seen, marks, unexplained=0.5), quality()),
        (findings([]), quality()),
        *((findings(), quality(problem)) for problem in QualityProblem),
    )
    for reason in several:
        assert re.fullmatch(r"[A-Z].*\.", reason.message), reason.message
