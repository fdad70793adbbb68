"""Changes of the marks: what each does, what it takes back, what it refuses."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import UsageError
from spikecheck.labelling import answers, edits, floret_edits
from spikecheck.labelling.proposals import propose
from spikecheck.labelling.state import LabelState, blank_truth
from spikecheck.vocabulary import (
    AntherStage,
    Box,
    PhotoTruth,
    Point,
    QualityProblem,
    Side,
    TrueAnther,
    Verdict,
)
from tests.builders import HEIGHT, WIDTH, anther, findings, floret, florets

GREEN, YELLOW, DEHISCED = AntherStage
BLANK = LabelState(blank_truth("a.jpg", width=WIDTH, height=HEIGHT))
AXIS = (Point(900, 200), Point(60, 200))


def with_floret(state: LabelState, row: float, column: float, side_px: float = 30) -> LabelState:
    return floret_edits.add_floret(
        state, Point(row, column), side_px=side_px, clipped=True, cavity_visible=1, axis=AXIS
    )


def with_length(state: LabelState, length_mm: float) -> LabelState:
    return floret_edits.set_length(floret_edits.set_axis(state, *AXIS), length_mm)


def test_an_anther_is_added_moved_restaged_and_removed():
    state = edits.add_anther(BLANK, Point(10.04, 20), GREEN)
    assert state.truth.anthers == (TrueAnther(Point(10.0, 20), stage=GREEN),)
    state = edits.move_anther(state, 0, Point(30, 40))
    state = edits.set_stage(state, 0, YELLOW)
    assert state.truth.anthers == (TrueAnther(Point(30, 40), stage=YELLOW),)
    assert edits.remove_anther(state, 0).truth.anthers == ()


def test_what_was_measured_of_an_anther_is_not_true_of_another_place():
    measured = TrueAnther(
        Point(5, 5), Box(0, 0, 9, 9), stage=GREEN, length_mm=2, visible_share=1, visible_area_mm2=1
    )
    state = replace(BLANK, truth=replace(BLANK.truth, anthers=(measured,)))
    assert edits.move_anther(state, 0, Point(9, 9)).truth.anthers == (
        TrueAnther(Point(9, 9), stage=GREEN),
    )


def test_another_stage_forgets_how_ripe_the_earlier_one_was():
    ripe = TrueAnther(Point(5, 5), stage=YELLOW, near_anthesis=True)
    state = replace(BLANK, truth=replace(BLANK.truth, anthers=(ripe,)))
    assert edits.set_stage(state, 0, GREEN).truth.anthers[0].near_anthesis is None
    assert edits.set_stage(state, 0, YELLOW) == state


@pytest.mark.parametrize(
    "edit",
    [
        lambda state: edits.add_anther(state, Point(1, 1), GREEN),
        lambda state: edits.move_anther(state, 0, Point(1, 1)),
        lambda state: edits.set_stage(state, 0, DEHISCED),
        lambda state: edits.remove_anther(state, 0),
        lambda state: edits.set_problems(state, [QualityProblem.DARK]),
        edits.reopen,
    ],
)
def test_a_change_takes_back_that_the_photo_is_finished(edit):
    done = edits.finish(edits.add_anther(BLANK, Point(9, 9), GREEN))
    assert (done.truth.complete, done.truth.verdict) == (True, Verdict.REVIEW)
    changed = edit(done)
    assert (changed.truth.complete, changed.truth.verdict) == (False, None)


def test_nothing_left_is_a_pass_and_an_unjudgeable_photo_is_not():
    assert edits.finish(BLANK).truth.verdict is Verdict.PASS
    assert edits.finish(BLANK).truth.problems == ()
    dark = edits.set_problems(BLANK, [QualityProblem.DARK, QualityProblem.DARK])
    assert dark.truth.problems == (QualityProblem.DARK,)
    assert edits.finish(dark).truth.verdict is Verdict.REVIEW


def test_florets_are_numbered_from_the_base_on_each_side():
    state = BLANK
    for row, column in ((300, 150), (800, 150), (500, 250), (700, 201)):
        state = with_floret(state, row, column)
    assert [(f.id, f.centre.row, f.side) for f in state.truth.florets] == [
        ("L1", 800, Side.LEFT), ("L2", 300, Side.LEFT), ("R1", 500, Side.RIGHT),
        ("F1", 700, Side.FRONT),
    ]  # fmt: skip
    # 100 and 600 px of the 840 px from base to tip
    assert [f.position for f in state.truth.florets][:2] == pytest.approx([100 / 840, 600 / 840])


def test_sides_are_told_with_the_tip_upwards_however_the_spike_lies():
    lying = (Point(200, 50), Point(200, 950))  # the tip points right, so up is left
    state = floret_edits.add_floret(
        replace(BLANK, truth=replace(BLANK.truth, width=1000, height=400)),
        Point(150, 500), side_px=30, clipped=True, cavity_visible=1, axis=lying,
    )  # fmt: skip
    assert state.truth.florets[0].side is Side.LEFT


def test_an_anther_belongs_to_the_floret_it_lies_in_also_after_renumbering():
    state = with_floret(BLANK, 300, 150)
    state = edits.add_anther(state, Point(305, 152), GREEN)
    state = edits.add_anther(state, Point(20, 20), GREEN)
    assert [a.floret for a in state.truth.anthers] == ["L1", None]
    state = with_floret(state, 800, 150)
    assert [a.floret for a in state.truth.anthers] == ["L2", None]
    state = floret_edits.remove_floret(state, 1, axis=AXIS)
    assert [a.floret for a in state.truth.anthers] == [None, None]
    assert [f.id for f in state.truth.florets] == ["L1"]
    assert floret_edits.remove_floret(state, 0, axis=AXIS).truth.florets is None


def test_of_two_florets_about_an_anther_the_nearer_one_has_it():
    state = with_floret(with_floret(BLANK, 300, 150, 60), 340, 150, 60)
    state = edits.add_anther(state, Point(316, 150), GREEN)
    assert state.truth.anthers[0].floret == "L2"


def test_without_an_axis_the_base_is_at_the_bottom():
    state = floret_edits.add_floret(
        BLANK, Point(900, 20), side_px=30, clipped=False, cavity_visible=0, axis=None
    )
    assert (state.truth.florets[0].side, state.truth.florets[0].position) == (Side.LEFT, 0.1)


def test_base_and_tip_number_florets_and_with_a_ruler_give_the_scale():
    state = with_floret(with_floret(BLANK, 300, 150), 800, 150)
    state = floret_edits.set_axis(
        state, Point(60, 200), Point(900, 200)
    )  # hanging: the tip is below
    assert [(f.id, f.centre.row) for f in state.truth.florets] == [("R1", 300), ("R2", 800)]
    state = floret_edits.set_length(state, 84)
    assert state.truth.px_per_mm == 10
    # What a person marked counts more than what the check found.
    assert with_floret(state, 500, 150).truth.florets[1].id == "R2"
    assert floret_edits.set_axis(state, Point(60, 200), Point(480, 200)).truth.px_per_mm is None


def proposed() -> LabelState:
    seen = findings([floret("L1"), floret("R1", clipped=False)], [anther("L1"), anther(None)])
    return replace(BLANK, proposals=propose(seen, BLANK.truth, score_least=0.1))


def test_proposals_are_no_marks_until_they_are_confirmed():
    state = proposed()
    assert state.truth == BLANK.truth
    assert len(state.proposals) == 4
    state = answers.confirm(state, 1, axis=AXIS)
    assert state.truth.anthers == (TrueAnther(floret("L1").centre, stage=GREEN),)
    assert [p.number for p in state.proposals] == [2, 3, 4]


def test_of_a_confirmed_anther_only_what_a_person_sees_is_kept():
    state = answers.confirm(proposed(), 1, axis=AXIS, stage=YELLOW)
    (mark,) = state.truth.anthers
    assert (mark.stage, mark.box, mark.length_mm) == (YELLOW, None, None)


def test_confirmed_florets_take_in_their_anthers():
    state = answers.confirm_florets(answers.confirm(proposed(), 1, axis=AXIS), axis=AXIS)
    assert [(f.id, f.clipped) for f in state.truth.florets] == [("L1", True), ("R1", False)]
    assert state.truth.anthers[0].floret == "L1"
    assert [p.number for p in state.proposals] == [2]
    assert answers.confirm_florets(state, axis=AXIS) == state


def test_a_refused_proposal_is_gone_and_nothing_is_marked():
    state = answers.refuse(proposed(), 2)
    assert [p.number for p in state.proposals] == [1, 3, 4]
    assert state.truth == BLANK.truth


def test_what_is_marked_is_not_proposed_again():
    seen = findings(florets(2), [anther("L1"), anther("R1")])
    marked = with_floret(edits.add_anther(BLANK, floret("L1").centre, GREEN), 860, 150)
    proposals = propose(seen, marked.truth, score_least=0.1)
    assert [(p.mark.floret if p.score else p.mark.id) for p in proposals] == [
        "R1", "L2", "R1", "R2",
    ]  # fmt: skip


def test_unsure_anthers_are_not_proposed():
    seen = findings([], [anther("L1", score=0.05), anther("R1", score=0.1)])
    assert [p.score for p in propose(seen, BLANK.truth, score_least=0.1)] == [0.1]


@pytest.mark.parametrize(
    ("edit", "complaint"),
    [
        (lambda s: edits.add_anther(s, Point(-1, 0), GREEN), "x 0, y -1 lies outside the photo"),
        (lambda s: edits.add_anther(s, Point(0, WIDTH + 1), GREEN), "lies outside the photo"),
        (lambda s: edits.move_anther(s, 0, Point(0, 0)), "no anther 1"),
        (lambda s: edits.remove_anther(s, -1), "no anther 0"),
        (lambda s: edits.set_stage(s, 3, GREEN), "no anther 4"),
        (lambda s: floret_edits.remove_floret(s, 0, axis=None), "no floret 1"),
        (lambda s: answers.confirm(s, 9, axis=None), "no suggestion 9"),
        (lambda s: answers.refuse(s, 9), "no suggestion 9"),
        (lambda s: floret_edits.set_axis(s, Point(1, 1), Point(1, 1)), "the same place"),
        (lambda s: floret_edits.set_axis(s, Point(-1, 1), Point(1, 1)), "lies outside the photo"),
        (lambda s: floret_edits.set_length(s, 80), "base and tip are not marked"),
        (
            lambda s: floret_edits.set_length(floret_edits.set_axis(s, *AXIS), 0),
            "length is positive",
        ),
        (
            lambda s: floret_edits.set_length(floret_edits.set_axis(s, *AXIS), float("nan")),
            "is positive",
        ),
        (
            lambda s: floret_edits.add_floret(
                s, Point(0, 0), side_px=9, clipped=True, cavity_visible=1.5, axis=None
            ),
            "lies in 0..1",
        ),
    ],
)
def test_what_cannot_be_is_refused(edit, complaint):
    with pytest.raises(UsageError, match=complaint):
        edit(BLANK)


def test_a_spike_has_a_name_or_none():
    assert edits.set_spike(BLANK, "  T-4 ").truth.spike == "T-4"
    assert edits.set_spike(edits.set_spike(BLANK, "T-4"), " ").truth.spike is None


@given(st.lists(st.tuples(st.integers(0, HEIGHT), st.integers(0, WIDTH)), max_size=12))
def test_ids_are_unique_and_ascend_from_the_base(places):
    state = BLANK
    for row, column in places:
        state = with_floret(state, row, column)
    marked: tuple = state.truth.florets or ()
    assert len({f.id for f in marked}) == len(marked) == len(places)
    for side in Side:
        along = [f.position for f in marked if f.side is side]
        assert along == sorted(along)


def test_a_truth_without_marks_is_blank():
    assert PhotoTruth("a.jpg", WIDTH, HEIGHT, (), complete=False) == BLANK.truth
