"""A programme's own numbers: read, refused, recorded and told."""

from __future__ import annotations

import dataclasses

import pytest

from spikecheck.coaching import (
    PRACTICE_NUMBERS_VARIABLE,
    changed_numbers,
    numbers_in_force,
    read_numbers,
)
from spikecheck.coaching.numbers import numbers_text, recorded_numbers
from spikecheck.coaching.standing_words import numbers_words
from spikecheck.errors import ThresholdError, UsageError
from tests.coaching.practice_photos import NUMBERS


@pytest.fixture
def given(tmp_path):
    def write(text):
        path = tmp_path / "numbers.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_what_the_file_leaves_out_is_as_shipped(given):
    path = given("viewing_s = 15\nacceptable_miss_rate = 0.02\n")
    numbers = read_numbers(path)
    assert numbers == dataclasses.replace(NUMBERS, viewing_s=15.0, acceptable_miss_rate=0.02)
    assert numbers_in_force({PRACTICE_NUMBERS_VARIABLE: str(path)}) == numbers
    assert numbers_in_force({}) == NUMBERS
    assert changed_numbers(numbers) == (
        ("viewing_s", 15.0, 10), ("acceptable_miss_rate", 0.02, 0.05),
    )  # fmt: skip
    told = numbers_words(numbers)
    assert "viewing_s 15 instead of 10 and acceptable_miss_rate 0.02 instead of 0.05" in told
    shipped = numbers_words(NUMBERS)
    assert "programme" not in shipped
    # Wald 1947, chapter 3: (0.9 ln(0.05/0.9) + 0.1 ln(0.95/0.1)) / (0.05 ln 4 + 0.95 ln(0.8/0.95))
    # is 25.3 at a miss rate of 0.05, and 14.3 at 0.2 alike.
    assert "misses 5 % is expected to need about 26 spikes" in shipped
    assert "whoever misses 20 % about 15." in shipped


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("viewing = 15", "no number viewing"),
        ("viewing_s = 'long'", "viewing_s is no number"),
        ("viewing_s = true", "viewing_s is no number"),
        ("viewing_s = nan", "viewing_s is 0 or more"),
        ("viewing_s = -1", "viewing_s is 0 or more"),
        ("viewing_s = 1300", "viewing_s < block_s"),
        ("mark_radius_mm = 0", "mark_radius_mm is above 0"),
        ("leftovers_most = 0.1", "leftovers_least < leftovers_most"),
        ("session_photos = 1", "photos or more"),
        ("acceptable_miss_rate = 0.3", "acceptable < unacceptable"),
        ("poor_signed_off = 0.6", "below a half"),
        ("confidence = 1", "below 1"),
        ("large_from_mm2 = 0.1", "small_below_mm2 < large_from_mm2"),
        ("viewing_s = ", "not valid TOML"),
    ],
)
def test_what_cannot_be_is_one_line(given, text, why):
    with pytest.raises(ThresholdError, match=why) as told:
        read_numbers(given(text))
    assert "numbers.toml" in str(told.value)


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(ThresholdError, match="cannot be read"):
        read_numbers(tmp_path / "none.toml")


def test_recorded_numbers_come_back():
    numbers = dataclasses.replace(NUMBERS, viewing_s=0.1 + 0.2)
    assert recorded_numbers(numbers_text(numbers)) == numbers
    assert numbers_text(recorded_numbers(numbers_text(numbers))) == numbers_text(numbers)
    # A session of an older version did not know every number.
    assert recorded_numbers('{"viewing_s": 3, "gone": 1}').rest_s == NUMBERS.rest_s
    for text in ("", "[]", '{"viewing_s": "long"}'):
        with pytest.raises(UsageError, match="cannot be read"):
            recorded_numbers(text)
