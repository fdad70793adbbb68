"""The result contract: every result validates, every promised key is there."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.assessment import assess
from spikecheck.pipeline import result_entry, result_schema
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import (
    AntherStage,
    CheckResult,
    FloretStatus,
    PhotoResult,
    Point,
    QualityProblem,
    ReasonCode,
    Scale,
    ScaleSource,
    Side,
    Verdict,
)
from tests.builders import anther, calibration, findings, floret, florets, photo, quality

LIMITS = load_thresholds().assessment
VALIDATOR = jsonschema.Draft202012Validator(
    result_schema(), format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER
)

# The contract as it is agreed; keys may be added, never renamed or dropped.
TOP = {"schema", "verdict", "reasons", "risk", "tag", "photos", "timing_ms", "software"}
REASON = {"code", "message", "photo", "floret"}
RISK = {"p_leftover", "expected_selfed_share", "calibrated"}
PHOTO = {
    "file", "sha256", "width", "height", "taken_at", "px_per_mm", "scale_source", "quality",
    "spike", "florets", "anthers", "model",
}  # fmt: skip
FLORET = {
    "id", "x", "y", "box", "side", "position", "clipped", "cavity_seen", "status", "p_leftover",
}  # fmt: skip
ANTHER = {
    "floret", "x", "y", "box", "length_mm", "stage", "near_anthesis", "broken", "score",
}  # fmt: skip


def checked(*faces) -> CheckResult:
    """The result on photos with these findings and qualities."""
    answer = assess(list(faces), thresholds=LIMITS)
    photos = []
    for number, ((seen, judged), judged_florets) in enumerate(
        zip(faces, answer.florets, strict=True)
    ):
        one = photo(f"{number}.jpg")
        photos.append(
            PhotoResult(
                one.file, one.sha256, one.width, one.height, None, judged, seen, judged_florets
            )
        )
    return CheckResult(
        answer.verdict, answer.reasons, answer.risk, tuple(photos), {"total": 12.34}, "9.9.9"
    )


RICH = checked(
    (
        findings(
            [*florets(), floret("L9", clipped=False), floret("R9", cavity_seen=0.25)],
            [anther(None, at=Point(row=20.04, column=333.33)), anther("L2", broken=True)],
        ),
        quality(measures={"sharpness_px": 1.23456789}),
    ),
    (findings([], with_spike=False), quality(QualityProblem.NO_SPIKE)),
)


def test_the_schema_is_a_valid_schema_of_the_2020_draft():
    jsonschema.Draft202012Validator.check_schema(result_schema())
    assert result_schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_every_part_of_the_schema_is_described():
    def undescribed(schema, path):
        for name, part in schema.get("properties", {}).items():
            if "$ref" not in part and "description" not in part and "const" not in part:
                yield f"{path}/{name}"
            yield from undescribed(part, f"{path}/{name}")

    parts = {"": result_schema(), **result_schema()["$defs"]}
    assert [gap for name, part in parts.items() for gap in undescribed(part, name)] == []


@pytest.mark.parametrize(
    "result",
    [
        RICH,
        checked((findings(), quality())),
        checked((findings(), quality()), (findings(), quality())),
    ],
)
def test_results_validate_and_survive_json(result: CheckResult):
    entry = result_entry(result)
    VALIDATOR.validate(entry)
    assert json.loads(json.dumps(entry, allow_nan=False)) == entry


def test_every_promised_key_is_there():
    entry = result_entry(RICH)
    first = entry["photos"][0]
    assert set(entry) >= TOP
    assert set(entry["risk"]) >= RISK
    assert set(entry["software"]) >= {"version"}
    assert all(set(reason) >= REASON for reason in entry["reasons"])
    assert all(set(one) >= PHOTO for one in entry["photos"])
    assert set(first["quality"]) >= {"usable", "problems", "measures"}
    assert set(first["spike"]) >= {"outline", "axis"}
    assert set(first["model"]) >= {"name", "version", "sha256"}
    assert all(set(one) >= FLORET for one in first["florets"])
    assert all(set(one) >= ANTHER for one in first["anthers"])
    assert first["florets"]
    assert first["anthers"]


@pytest.mark.parametrize(
    ("where", "keys"),
    [
        ((), TOP),
        (("properties", "risk"), RISK),
        (("$defs", "reason"), REASON),
        (("$defs", "photo"), PHOTO),
        (("$defs", "floret"), FLORET),
        (("$defs", "anther"), ANTHER),
        (("$defs", "photo", "properties", "quality"), {"usable", "problems", "measures"}),
        (("$defs", "photo", "properties", "model"), {"name", "version", "sha256"}),
    ],
)
def test_the_schema_requires_every_promised_key(where: tuple[str, ...], keys: set[str]):
    part = result_schema()
    for step in where:
        part = part[step]
    assert set(part["required"]) >= keys


def test_the_schema_knows_the_words_of_the_vocabulary():
    defs = result_schema()["$defs"]
    assert defs["problem"]["enum"] == list(QualityProblem)
    assert defs["reason"]["properties"]["code"]["anyOf"][0]["enum"] == list(ReasonCode)
    assert set(defs["floret"]["properties"]["status"]["enum"]) == set(FloretStatus)
    assert set(defs["floret"]["properties"]["side"]["enum"]) == set(Side)
    assert set(defs["anther"]["properties"]["stage"]["enum"]) == set(AntherStage)
    assert set(defs["photo"]["properties"]["scale_source"]["enum"]) == {*ScaleSource, None}
    assert set(result_schema()["properties"]["verdict"]["enum"]) == set(Verdict)


def test_rows_and_columns_become_x_and_y():
    entry = result_entry(RICH)
    outside = entry["photos"][0]["anthers"][0]
    assert (outside["x"], outside["y"]) == (333.3, 20.0)
    assert outside["box"] == [325.3, 12.0, 341.3, 28.0]
    base_to_tip = entry["photos"][0]["spike"]["axis"]
    assert base_to_tip == [[200.0, 900.0], [200.0, 60.0]]
    reason = next(r for r in entry["reasons"] if r["code"] == "anther_outside_floret")
    assert reason["place"] == [333.3, 20.0]


def test_numbers_are_rounded_to_what_they_can_mean():
    entry = result_entry(RICH)
    assert entry["photos"][0]["quality"]["measures"] == {"sharpness_px": 1.2346}
    assert entry["timing_ms"] == {"total": 12.3}
    assert entry["photos"][0]["px_per_mm_bounds"] == [9.0, 11.0]


def test_what_could_not_be_measured_is_null():
    result = checked((findings(), quality(measures={"a_px": float("nan"), "b_px": float("inf")})))
    entry = result_entry(result)
    VALIDATOR.validate(entry)
    assert entry["photos"][0]["quality"]["measures"] == {"a_px": None, "b_px": None}


def test_no_tag_is_read_yet_so_the_tag_is_null():
    assert result_entry(RICH)["tag"] is None


def test_a_calibration_is_told_with_what_it_rests_on_and_every_digit_of_its_limit():
    made = calibration(1 / 3, spikes=399, passed=1)
    entry = result_entry(checked((findings(calibration=made), quality())))
    VALIDATOR.validate(entry)
    assert entry["photos"][0]["calibration"] == {
        "name": made.name, "spikes": 399, "passed": 1, "alpha": 0.01, "bound": 0.005,
        "pass_score_most": 1 / 3, "sha256": "1" * 64,
    }  # fmt: skip
    assert entry["risk"]["calibrated"] is True


def test_an_uncalibrated_and_an_unfamiliar_photo_say_so():
    plain, strange = result_entry(
        checked((findings(), quality()), (findings(unfamiliar=True), quality()))
    )["photos"]
    assert (plain["calibration"], plain["unfamiliar"], strange["unfamiliar"]) == (None, False, True)


def test_the_time_of_the_photo_is_iso_8601():
    taken = datetime(2031, 5, 6, 7, 8, 9, tzinfo=UTC)
    first = replace(RICH.photos[0], taken_at=taken)
    entry = result_entry(replace(RICH, photos=(first, *RICH.photos[1:])))
    assert datetime.fromisoformat(entry["photos"][0]["taken_at"]) == taken


def test_no_scale_no_scale_source():
    seen = replace(findings(), scale=None)
    one = result_entry(checked((seen, quality())))["photos"][0]
    assert (one["px_per_mm"], one["px_per_mm_bounds"], one["scale_source"]) == (None, None, None)


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        ({"verdict": "maybe"}, "'maybe' is not one of"),
        ({"verdict": "review", "reasons": []}, "should be non-empty"),
        ({"photos": []}, "should be non-empty"),
        ({"schema": "spikecheck.result/2"}, "was expected"),
        ({"risk": {"p_leftover": 1.5, "expected_selfed_share": None, "calibrated": False}}, "1.5"),
    ],
)
def test_the_schema_refuses_what_breaks_the_contract(change: dict, complaint: str):
    with pytest.raises(jsonschema.ValidationError, match=complaint):
        VALIDATOR.validate({**result_entry(RICH), **change})


number = st.floats(0, 5000)
share = st.floats(0, 1)


@given(
    score=share,
    row=number,
    column=number,
    length=st.none() | st.floats(0.001, 20),
    unexplained=share,
    scale=st.none() | st.floats(0.5, 500),
    measure=st.floats(),
    stage=st.sampled_from(AntherStage),
)
def test_any_result_validates(*, score, row, column, length, unexplained, scale, measure, stage):
    mark = replace(anther("L1", at=Point(row, column), score=score, stage=stage), length_mm=length)
    seen = replace(
        findings(anthers=[mark], unexplained=unexplained),
        scale=None if scale is None else Scale(scale, ScaleSource.ESTIMATE, scale / 2, scale * 2),
    )
    entry = result_entry(checked((seen, quality(measures={"m": measure}))))
    VALIDATOR.validate(entry)
    json.dumps(entry, allow_nan=False)
