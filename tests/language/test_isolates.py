"""Names from right to left inside a sentence: what a screen shows, by Unicode's own rules.

Where one name ends and the next number begins is told by UAX #9's isolates (Unicode Standard Annex
#9, 2.4.2 and rules X5c, BD8); nothing else of a sentence changes.
"""

from __future__ import annotations

import sys
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.language import (
    Language,
    _,
    goes_right_to_left,
    in_language,
    isolated,
    listing,
    ngettext,
    pgettext,
    without_isolates,
)
from spikecheck.language.isolates import Sentence

HEBREW, ARABIC, LATIN = "דנה לוי (2)", "قمح صلب 7", "Olmo 3"
FSI, PDI = "\u2068", "\u2069"


@pytest.fixture
def read():
    """Somebody reads."""
    with in_language(Language.ENGLISH):
        yield


@pytest.mark.usefixtures("read")
@pytest.mark.parametrize("name", [HEBREW, ARABIC])
def test_a_name_from_right_to_left_goes_in_as_one_piece(name: str):
    kept = f"{FSI}{name}{PDI}"
    assert _("by {who}: {n} of 11").format(who=name, n=10) == f"by {kept}: 10 of 11"
    assert ngettext("{who}, {n} day", "{who}, {n} days", 3).format(who=name, n=3) == (
        f"{kept}, 3 days"
    )
    assert pgettext("a person", "{who}").format(who=name) == kept
    assert listing([name, LATIN]) == f"{kept} and {LATIN}"
    assert _("{who!r} is not known").format(who=name) == f"{FSI}{name!r}{PDI} is not known"


@pytest.mark.usefixtures("read")
def test_other_names_stay_as_they_are():
    assert isolated(LATIN) == LATIN
    assert _("by {who}: {n:.1f}").format(who="Ñandú", n=2) == "by Ñandú: 2.0"


@pytest.mark.parametrize("make", [lambda name: _("by {who}").format(who=name), isolated])
def test_where_nobody_reads_names_stay_as_they_were_typed(make):
    assert FSI not in make(HEBREW)


def test_every_letter_of_these_scripts_is_known():
    """Reference: the Unicode Character Database as Python carries it."""
    letters = [
        one
        for one in map(chr, range(sys.maxunicode + 1))
        if unicodedata.bidirectional(one) in {"R", "AL"} and unicodedata.category(one) != "Cf"
    ]
    assert len(letters) > 1000
    assert [f"U+{ord(one):04X}" for one in letters if not goes_right_to_left(one)] == []


@given(st.text(), st.text(), st.integers())
def test_without_the_marks_it_is_what_str_format_gives(first: str, second: str, number: int):
    first, second = without_isolates(first), without_isolates(second)
    plain, text = "{a} / {b}: {n:,d} %", Sentence("{a} / {b}: {n:,d} %")
    with in_language(Language.ENGLISH):
        filled = text.format(a=first, b=second, n=number)
    assert without_isolates(filled) == plain.format(a=first, b=second, n=number)
    assert filled.count(FSI) == filled.count(PDI)
