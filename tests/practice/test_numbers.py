"""The numbers of practice: documented, used, sensible together, apart from what judges a photo."""

from __future__ import annotations

import dataclasses
import math
import re
from pathlib import Path

import pytest

import spikecheck
from spikecheck.thresholds import GROUPS, load_thresholds
from spikecheck.thresholds.practice import load_practice, practice_list

ROOM = Path(spikecheck.__file__).parent / "practice"
CODE = "".join(path.read_text(encoding="utf-8") for path in ROOM.glob("*.py"))


@pytest.mark.parametrize("number", practice_list(), ids=lambda one: one.name)
def test_every_number_says_what_it_is_and_decides_something(number):
    assert math.isfinite(number.value)
    assert number.unit.strip()
    assert len(number.reason.split()) >= 4, "a reason is a sentence"
    assert len(number.source.split()) >= 2, "a source can be looked up"
    assert re.search(rf"\.{number.name}\b", CODE)


def test_the_group_holds_the_numbers_of_its_file():
    held = dataclasses.asdict(load_practice())
    assert held == {number.name: number.value for number in practice_list()}


def test_they_are_no_part_of_what_is_recorded_with_a_photo_check():
    assert "practice" not in GROUPS
    assert "practice" not in {field.name for field in dataclasses.fields(load_thresholds())}


def test_they_make_sense_together():
    numbers = load_practice()
    assert 0.2 <= numbers.leftovers_least < numbers.leftovers_most <= 0.5
    assert numbers.viewing_s < numbers.block_s <= 20 * 60
    assert 0 < numbers.small_below_mm2 < numbers.large_from_mm2
    assert 0 < numbers.acceptable_miss_rate < numbers.unacceptable_miss_rate < 1
    assert 0 < numbers.poor_signed_off <= numbers.good_sent_back < 0.5
    assert 0 < numbers.expected_miss_share < 1
    assert numbers.expected_seen > 0
