"""Names that cannot be told apart are refused; scripts are spelt as they are."""

from __future__ import annotations

import pytest

from spikecheck.errors import UsageError
from spikecheck.vocabulary.text import tidy_id, tidy_name, tidy_note


@pytest.mark.parametrize("char", ["\u200b", "\u202e", "\u00ad", "\ufeff", "\u2066", "\u2060"])
def test_marks_that_nobody_sees_are_refused(char: str):
    """Unicode general category Cf: two ids that look alike would be two crosses."""
    for tidy in (tidy_id, tidy_name, tidy_note):
        with pytest.raises(UsageError, match=rf"the invisible character U\+{ord(char):04X}"):
            tidy(f"C-0{char}14", what="the id")


@pytest.mark.parametrize(
    "name", ["\u0645\u06cc\u200c\u062e\u0648", "क्\u200dष", "👩\u200d🌾", "Ñandú", "麦穗", "Żytnia"]
)
def test_joiners_that_scripts_need_are_kept(name: str):
    assert tidy_name(name, what="the name") == name


def test_a_name_copied_from_a_page_is_the_same_name():
    """Pages put isolates around names from right to left (UAX #9, 2.4.2)."""
    for tidy in (tidy_id, tidy_name, tidy_note):
        assert tidy("\u2068דנה 2\u2069", what="the name") == "דנה 2"
