"""Codes of tags: what people type is understood, what they mistype is told."""

from __future__ import annotations

import random

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_2

from spikecheck.errors import TagError
from spikecheck.vocabulary.tag_code import (
    CODE_LENGTH,
    CODE_SYMBOLS,
    new_code,
    read_code,
    shown_code,
)

SYMBOL = st.sampled_from(CODE_SYMBOLS)
CODE = st.integers(0, 2**32).map(lambda seed: new_code(random.Random(seed)))


def weighted_sum(text: str) -> int:
    """ISO/IEC 7064, pure systems: characters weighed with 2^k from the right, modulo 37.

    Written from the standard's definition, apart from the library's recursion.
    """
    values = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"
    return sum(values.index(one) * 2**k for k, one in enumerate(reversed(text))) % 37


@pytest.mark.parametrize(
    ("number", "check"),
    [
        # ISBT 128 donation identification number with its keyboard check character, which is
        # ISO/IEC 7064 MOD 37-2; the standard's example A9999 14 123456, from memory.
        ("A999914123456", "N"),
        # python-stdnum, documentation of stdnum.iso7064.mod_37_2.
        ("G123489654321", "Y"),
    ],
)
def test_the_check_character_is_that_of_the_published_examples(number, check):
    assert mod_37_2.calc_check_digit(number) == check
    assert weighted_sum(number + check) == 1


@given(CODE)
def test_a_new_code_is_read_as_itself_and_fits_the_standard(code):
    assert len(code) == CODE_LENGTH
    assert set(code) <= set(CODE_SYMBOLS)
    assert mod_37_2.is_valid(code)
    assert weighted_sum(code) == 1
    assert read_code(code) == code


@given(CODE, st.integers(0, CODE_LENGTH - 1), SYMBOL)
def test_one_wrong_character_is_always_told(code, at, other):
    assume(code[at] != other)
    with pytest.raises(TagError, match="its last character does not fit"):
        read_code(code[:at] + other + code[at + 1 :])


@given(CODE, st.integers(0, CODE_LENGTH - 2))
def test_two_neighbours_exchanged_are_always_told(code, at):
    assume(code[at] != code[at + 1])
    with pytest.raises(TagError, match="two are exchanged"):
        read_code(code[:at] + code[at + 1] + code[at] + code[at + 2 :])


@given(CODE, st.sampled_from(["{} {}", "{}-{}", " {}\u2013{}\n", "{}{}"]))
def test_blanks_hyphens_and_small_letters_do_no_harm(code, form):
    assert read_code(form.format(code[:4], code[4:]).lower()) == code
    assert read_code(shown_code(code)) == code


def test_a_code_is_shown_in_two_groups():
    assert shown_code("K7Q29XMT") == "K7Q2 9XMT"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("K7Q2", r"K7Q2: a tag's code has 8 characters, this has 4\. Type all of them"),
        ("", "8 characters, this has 0"),
        ("K7Q29XOI", r"no tag's code holds I or O\. Look at the tag again"),
        ("K7Q29XM\u00df", "holds|characters"),
    ],
)
def test_what_no_code_can_be_is_told_with_the_cure(text, told):
    with pytest.raises(TagError, match=told):
        read_code(text)


def test_symbols_are_not_mistaken_for_each_other():
    for alike in ("0O", "1I", "2Z", "5S", "8B", "UV"):
        assert len(set(alike) & set(CODE_SYMBOLS)) <= 1


def test_every_check_character_occurs_and_symbols_are_spread_evenly():
    source = random.Random(5)
    codes = [new_code(source) for _ in range(2600)]
    assert {code[-1] for code in codes} == set(CODE_SYMBOLS)
    counts = [sum(code.count(symbol) for code in codes) for symbol in CODE_SYMBOLS]
    assert min(counts) > 600  # 800 expected of each
    assert len(set(codes)) == len(codes)
