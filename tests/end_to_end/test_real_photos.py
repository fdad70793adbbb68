"""Real photos, none of a prepared spike: none may pass, and each is told what is wrong with it.

The photos stay where they are: in the folder that SPIKECHECK_REAL_PHOTOS names, or beside the
repository. What each shows is told by ``sources.csv`` there, written by those who chose them.
"""

from __future__ import annotations

import csv
import os
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

import jsonschema
import pytest
from PIL import Image

from spikecheck.cli.overlay_files import overlay_bytes
from spikecheck.imaging.overlay import OVERLAY_LONGEST_PX
from spikecheck.photo import PHOTO_SUFFIXES
from spikecheck.pipeline import check_files, result_entry, result_schema
from spikecheck.pipeline.finders import default_finder
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import QualityProblem, Verdict
from tests.house.repository import ROOT

if TYPE_CHECKING:
    from spikecheck.vocabulary import CheckResult, Photo

FOLDER = Path(os.environ.get("SPIKECHECK_REAL_PHOTOS") or ROOT.parent / "shared" / "photos")
if not (FOLDER / "sources.csv").is_file():
    pytest.skip(
        "the folder of real photos is not here; name it with SPIKECHECK_REAL_PHOTOS",
        allow_module_level=True,
    )

with (FOLDER / "sources.csv").open(encoding="utf-8", newline="") as table:
    ROWS = {row["file"]: row for row in csv.DictReader(table)}
PHOTOS = sorted(path.name for path in FOLDER.iterdir() if path.suffix.lower() in PHOTO_SUFFIXES)
FLOWERING = [name for name in PHOTOS if ROWS[name]["has_visible_anthers"] == "yes"]
CANOPIES = [name for name in PHOTOS if ROWS[name]["notes"] == "out-of-scope distance"]
WITHOUT = [name for name in PHOTOS if ROWS[name]["px_per_mm"] == "n/a"]  # no spike to measure
SAYS_SO = {QualityProblem.NO_SPIKE}
SAYS_TOO_FAR = SAYS_SO | {QualityProblem.SEVERAL_SPIKES, QualityProblem.TOO_SMALL}
VALIDATOR = jsonschema.Draft202012Validator(result_schema())


@cache
def checked(name: str) -> tuple[CheckResult, Photo]:
    thresholds = load_thresholds()
    finder = default_finder(thresholds)
    result, (photo,) = check_files([FOLDER / name], finder=finder, thresholds=thresholds)
    return result, photo


def problems(name: str) -> set[QualityProblem]:
    return set(checked(name)[0].photos[0].quality.problems)


def test_the_photos_are_those_of_the_table():
    assert set(PHOTOS) == set(ROWS)
    assert FLOWERING
    assert CANOPIES
    assert WITHOUT


@pytest.mark.parametrize("name", FLOWERING)
def test_a_spike_with_visible_anthers_does_not_pass(name: str):
    assert checked(name)[0].verdict is Verdict.REVIEW


@pytest.mark.parametrize("name", sorted(set(PHOTOS) - set(FLOWERING)))
def test_what_is_no_prepared_spike_does_not_pass(name: str):
    assert checked(name)[0].verdict is Verdict.REVIEW


@pytest.mark.parametrize("name", PHOTOS)
def test_the_answer_gives_a_reason_and_keeps_the_contract(name: str):
    result, photo = checked(name)
    entry = result_entry(result)
    VALIDATOR.validate(entry)
    assert entry["reasons"]
    assert Path(entry["photos"][0]["file"]).name == name
    assert (entry["photos"][0]["height"], entry["photos"][0]["width"]) == photo.pixels.shape[:2]


@pytest.mark.parametrize("name", WITHOUT)
def test_a_picture_without_a_spike_says_so(name: str):
    assert problems(name) >= SAYS_SO


@pytest.mark.parametrize("name", CANOPIES)
def test_a_field_from_afar_says_that_no_one_spike_is_close(name: str):
    assert problems(name) & SAYS_TOO_FAR


@pytest.mark.parametrize("name", PHOTOS)
def test_the_overlay_is_drawn(name: str):
    result, photo = checked(name)
    drawn = overlay_bytes(photo, result.photos[0], result=result, number=0)
    with Image.open(BytesIO(drawn)) as overlay:
        overlay.load()
        assert overlay.mode == "RGB"
        assert min(overlay.size) > 0
        assert max(overlay.size) <= OVERLAY_LONGEST_PX
