"""Truth files: what is written is what is read, and what is wrong is told."""

from __future__ import annotations

import json
from datetime import UTC, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import TruthError
from spikecheck.vocabulary import (
    AntherStage,
    Box,
    PhotoTruth,
    Point,
    QualityProblem,
    Side,
    TrueAnther,
    TrueFloret,
    Verdict,
    read_truth,
    write_truth,
)

# Pixels are written with one decimal place, shares with three or four: what is drawn from a grid
# that fine must come back unchanged.
EAST = timezone(timedelta(hours=5, minutes=30))
px = st.integers(-50_000, 50_000).map(lambda tenth: tenth / 10)
extent = st.integers(1, 5_000).map(lambda tenth: tenth / 10)
share = st.integers(0, 1000).map(lambda step: step / 1000)
points = st.builds(Point, px, px)
text = st.text(max_size=20)


@st.composite
def boxes(draw) -> Box:
    top, left = draw(px), draw(px)
    return Box(top, left, round(top + draw(extent), 1), round(left + draw(extent), 1))


anthers = st.builds(
    TrueAnther,
    centre=points,
    box=st.none() | boxes(),
    floret=st.none() | text,
    stage=st.none() | st.sampled_from(AntherStage),
    near_anthesis=st.none() | st.booleans(),
    broken=st.none() | st.booleans(),
    length_mm=st.none() | st.floats(0.1, 12),
    visible_share=st.none() | st.floats(0, 1),
    visible_area_mm2=st.none() | st.floats(0, 12),
)
florets = st.builds(
    TrueFloret,
    id=text,
    centre=points,
    box=boxes(),
    side=st.sampled_from(Side),
    position=share,
    clipped=st.booleans(),
    cavity_visible=share,
)
lines = st.none() | st.lists(points, max_size=5).map(tuple)
truths = st.builds(
    PhotoTruth,
    image=text,
    width=st.integers(1, 20_000),
    height=st.integers(1, 20_000),
    anthers=st.lists(anthers, max_size=4).map(tuple),
    complete=st.booleans(),
    florets=st.none() | st.lists(florets, max_size=4).map(tuple),
    verdict=st.none() | st.sampled_from(Verdict),
    problems=st.none() | st.lists(st.sampled_from(QualityProblem), unique=True).map(tuple),
    px_per_mm=st.none() | st.floats(0.1, 300),
    outline=lines,
    axis=lines,
    families=st.none() | st.dictionaries(text, text, max_size=3),
    spike=st.none() | text,
    marked_by=st.none() | text,
    marked_at=st.none() | st.datetimes(timezones=st.sampled_from([UTC, EAST])),
)


@given(truths)
def test_what_is_written_is_what_is_read(truth: PhotoTruth):
    with TemporaryDirectory() as folder:
        path = Path(folder) / "truth.json"
        write_truth(truth, path)
        assert read_truth(path) == truth


def test_points_marked_by_hand_are_truth_too(tmp_path):
    path = tmp_path / "marked.json"
    entry = {
        "image": "a.jpg", "width": 300, "height": 540, "complete": False,
        "anthers": [{"x": 119.0, "y": 129.0, "colour": "yellow"}],
        "annotator": "one pass by eye",
    }  # fmt: skip
    path.write_text(json.dumps(entry), encoding="utf-8")
    truth = read_truth(path)
    assert truth.anthers == (TrueAnther(Point(row=129.0, column=119.0)),)
    assert (truth.complete, truth.florets, truth.verdict, truth.problems) == (
        False, None, None, None,
    )  # fmt: skip


def test_the_file_speaks_x_and_y(tmp_path):
    path = tmp_path / "a.json"
    write_truth(PhotoTruth("a.jpg", 30, 50, (TrueAnther(Point(1, 2), Box(0, 1, 3, 5)),)), path)
    anther = json.loads(path.read_text(encoding="utf-8"))["anthers"][0]
    assert (anther["x"], anther["y"], anther["box"]) == (2, 1, [1, 0, 5, 3])


def marked(**change: object) -> str:
    """A truth file that is right but for ``change``."""
    return json.dumps({"image": "a.jpg", "width": 1, "height": 1, "anthers": [], **change})


@pytest.mark.parametrize(
    ("content", "complaint"),
    [
        ("", "not understood"),
        ("[]", "not understood"),
        ("{}", "lacks the entry 'image'"),
        ('{"image": "a", "width": 1, "height": 1}', "lacks the entry 'anthers'"),
        (marked(anthers=[{"x": 1}]), "lacks the entry 'y'"),
        (marked(width="wide"), "not understood"),
        (marked(verdict="maybe"), "'maybe'"),
        (marked(problems=["odd"]), "'odd'"),
        (marked(anthers=[{"x": 1, "y": 1, "box": [3, 3, 2, 2]}]), "a box needs area"),
        (marked(anthers=[{"x": 1, "y": 1, "box": [3, 3]}]), "not understood"),
        (marked(axis=[[1, 2, 3]]), "not understood"),
        (marked(marked_at="2026-05-04T10:00:00"), "lacks its time zone"),
        (marked(marked_at="yesterday"), "not understood"),
        (marked(marked_at=7), "not understood"),
    ],
)
def test_a_truth_file_that_is_wrong_is_told_in_one_line(tmp_path, content: str, complaint: str):
    path = tmp_path / "wrong.json"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(TruthError, match=complaint) as caught:
        read_truth(path)
    message = str(caught.value)
    assert message.startswith(f"{path}: ")
    assert message.endswith("Mend the truth file or take it away")
    assert "\n" not in message


def test_a_truth_file_that_is_not_there(tmp_path):
    with pytest.raises(TruthError, match="cannot be read"):
        read_truth(tmp_path / "nowhere.json")


def test_a_truth_file_in_another_encoding(tmp_path):
    path = tmp_path / "a.json"
    path.write_bytes('{"image": "ähre.jpg"}'.encode("latin-1"))
    with pytest.raises(TruthError, match="not understood"):
        read_truth(path)
