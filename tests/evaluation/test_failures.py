"""Mistakes by cost, and points marked by hand."""

from __future__ import annotations

from spikecheck.evaluation import (
    MarkedPhoto,
    PhotoOutcome,
    evaluation_entry,
    failures,
    marked_photos,
    summarise,
)
from spikecheck.vocabulary import AntherStage, QualityProblem
from tests.builders import anther, findings, floret, florets, quality
from tests.evaluation.cases import result_on, true_anther, truth

PASSING = result_on()


def of(**pairs):
    return summarise([PhotoOutcome(name, *pair) for name, pair in pairs.items()])


def test_mistakes_come_by_cost_and_within_a_kind_by_size():
    ripe = AntherStage.YELLOW
    found_one = result_on(findings(anthers=[anther("L1")]))
    hidden = result_on(findings([*florets(), floret("R9", cavity_seen=0.1)]))
    evaluation = of(
        right=(truth(), PASSING),
        imagined=(truth(true_anther("L1", area_mm2=1.0)),
                  result_on(findings(anthers=[anther("L1"), anther("R1"), anther("R2")]))),
        reviewed=(truth(), hidden),
        missed=(truth(true_anther("L1"), true_anther("L4", area_mm2=0.5)), found_one),
        dark=(truth(problems=(QualityProblem.DARK,)), PASSING),
        tiny=(truth(true_anther(area_mm2=0.1)), PASSING),
        small=(truth(true_anther(area_mm2=0.3)), PASSING),
        large=(truth(true_anther(area_mm2=2.0, stage=ripe)), PASSING),
    )  # fmt: skip
    assert [(one.file, one.what) for one in failures(evaluation)] == [
        ("large", "passes with an anther, yellow, 2.00 mm² in sight"),
        ("small", "passes with an anther, green, 0.30 mm² in sight"),
        ("dark", "passes though dark"),
        ("tiny", "passes with an anther, green, 0.10 mm² in sight"),
        ("missed", "goes to review, but missed an anther, green, 0.50 mm² in sight"),
        ("reviewed", "is clean, reviewed for floret_not_seen"),
        ("imagined", "2 false marks"),
    ]


def test_a_photo_is_listed_once_with_its_costliest_mistake():
    both = (truth(true_anther("L4", area_mm2=0.5)), result_on(findings(anthers=[anther("R1")])))
    assert [one.file for one in failures(of(both=both))] == ["both"]
    assert failures(of(both=both))[0].rank == 2


def test_what_a_bad_photo_hides_is_no_mistake():
    blurred = truth(true_anther(area_mm2=2.0), problems=(QualityProblem.DEFOCUS,))
    answer = result_on(judged=quality(QualityProblem.DEFOCUS))
    assert failures(of(blurred=(blurred, answer))) == []


def test_an_anther_of_unknown_area_counts_as_just_visible():
    (only,) = failures(of(marked=(truth(true_anther()), PASSING)))
    assert only.what == "passes with an anther, green, marked by hand"
    assert only.rank == 0


def test_points_marked_by_hand_are_told_photo_by_photo():
    found_one = result_on(findings(anthers=[anther("L1")]))
    evaluation = of(
        marked=(truth(true_anther("L1"), true_anther("L2"), florets=florets()), found_one),
        drawn=(truth(true_anther("L1", area_mm2=1.0)), found_one),
        clean=(truth(), PASSING),
    )
    told = MarkedPhoto("marked", "review", 2, 1, ("anther_left",))
    assert marked_photos(evaluation) == [told]
    assert evaluation_entry(evaluation)["marked_photos"] == [
        {"file": "marked", "verdict": "review", "points": 2, "found": 1, "told": ["anther_left"]}
    ]


def test_the_entry_lists_the_mistakes():
    entry = evaluation_entry(of(large=(truth(true_anther(area_mm2=2.0)), PASSING)))
    assert entry["failures"] == [
        {"file": "large", "what": "passes with an anther, green, 2.00 mm² in sight"}
    ]
