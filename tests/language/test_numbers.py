"""Days and numbers by language, against what Unicode CLDR prescribes."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.language import (
    Language,
    day,
    day_and_time,
    in_language,
    listing,
    number,
    percent,
    weekday,
)

WHEN = date(2026, 5, 4)


def test_without_a_language_days_are_iso_8601():
    assert day(WHEN) == "2026-05-04"
    assert weekday(WHEN) == "Mon 2026-05-04"
    assert day_and_time(datetime(2026, 5, 4, 9, 5)) == "2026-05-04 09:05"  # noqa: DTZ001


# CLDR's Spanish: decimal comma, months in lower case; its English of Britain: day before month.
@pytest.mark.parametrize(
    ("language", "expected"),
    [
        ("en", ["4 May 2026", "Mon 4 May 2026", "12.50", "12.5\N{NO-BREAK SPACE}%", "a, b and c"]),
        ("es", ["4 may 2026", "lun 4 may 2026", "12,50", "12,5\N{NO-BREAK SPACE}%", "a, b y c"]),
    ],
)
def test_by_language(language, expected):
    with in_language(Language(language)):
        said = [day(WHEN), weekday(WHEN), number(12.5, 2), percent(0.125, 1), listing("abc")]
    assert said == expected


@given(st.floats(-1e9, 1e9), st.integers(0, 6), st.sampled_from(Language))
def test_a_number_differs_from_python_only_in_the_decimal_mark(value, digits, language):
    with in_language(language):
        said = number(value, digits)
    assert said.replace(",", ".") == f"{value:z.{digits}f}"


@pytest.mark.parametrize("value", [-0.0, -0.004, 0.004])
def test_nought_has_no_minus(value):
    assert number(value, 2) == "0.00"
