"""Every reason there is asks for something that the technician can do."""

from __future__ import annotations

import pytest

from spikecheck.assessment.next_look import NextLook, next_look
from spikecheck.vocabulary import Point, QualityProblem, Reason, ReasonCode

PLACE = Point(1, 1)


@pytest.mark.parametrize("problem", QualityProblem)
def test_a_photo_problem_asks_for_another_photo(problem):
    assert next_look(Reason(problem.value, "x", 0)) is NextLook.PHOTO


@pytest.mark.parametrize(
    ("reason", "look"),
    [
        (Reason(ReasonCode.SEVERAL_TAGS, "x"), NextLook.PHOTO),
        (Reason(ReasonCode.UNFAMILIAR, "x", 0), NextLook.PHOTO),
        (Reason(ReasonCode.PART_NOT_READ, "x", 0), NextLook.PHOTO),
        (Reason(ReasonCode.TOO_CLOSE_TO_ANTHESIS, "x", 0, "L1", PLACE), NextLook.PLACE),
        (Reason(ReasonCode.ANTHER_LEFT, "x", 0, "L1", PLACE), NextLook.PLACE),
        (Reason(ReasonCode.ANTHER_OUTSIDE_FLORET, "x", 0, None, PLACE), NextLook.PLACE),
        (Reason(ReasonCode.FLORET_NOT_CLIPPED, "x", 0, "L1", PLACE), NextLook.PLACE),
        (Reason(ReasonCode.FLORET_NOT_SEEN, "x", 0, "L1", PLACE), NextLook.PLACE),
        (Reason(ReasonCode.FLORET_NOT_CLIPPED, "14 florets", 0), NextLook.SPIKE),
        (Reason(ReasonCode.RISK_TOO_HIGH, "x"), NextLook.SPIKE),
        (Reason(ReasonCode.ONE_FACE_ONLY, "x"), NextLook.OTHER_SIDE),
    ],
)
def test_every_other_reason_leads_to_its_place(reason, look):
    assert next_look(reason) is look


def test_no_code_is_forgotten():
    assert all(next_look(Reason(code, "x")) in NextLook for code in ReasonCode)
