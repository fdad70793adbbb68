"""Typed daily extremes."""

from __future__ import annotations

from datetime import date

import pytest

from spikecheck.errors import TableError
from spikecheck.season.temperatures import typed_days
from spikecheck.vocabulary.temperatures import DailyReading


def test_days_as_people_type_them():
    assert typed_days("2026-05-02  -1,5 / 20\n\n 2026-05-01 8/21 °C\n") == (
        DailyReading(date(2026, 5, 1), 8, 21),
        DailyReading(date(2026, 5, 2), -1.5, 20),
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "there is no day; write for example 2026-05-01 8/21"),
        ("2026-05-01 8-21", "line 1: '2026-05-01 8-21' is not like 2026-05-01 8/21"),
        ("2026-05-01 8/21\n2026-05-01 8/21", "line 2: 2026-05-01 is given twice"),
        ("2026-05-01 21/8", "lowest temperature 21 is above the highest 8"),
        ("8/21\n8/22", "^typed temperatures: line 1: [^;]*; line 2: [^;]*21. Nothing"),
        ("1.5.2026 8/21", "'1.5.2026' is no day like 2026-05-01"),
        ("2026-05-01 46 F/70 F", "not in degrees C"),
        ("2026-05-01 41/59\n2026-05-02 43/58", "so hot on average: is it degrees F"),
        ("2026-05-01 46/70", "70 cannot be an air temperature in degrees C; is it degrees F"),
    ],
)
def test_what_cannot_be_understood_is_told(text, said):
    with pytest.raises(TableError, match=said):
        typed_days(text)
