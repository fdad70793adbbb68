"""Purdy notation (Purdy et al. 1968, Crop Science 8:405-406): examples, laws, errors."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import PedigreeError
from spikecheck.vocabulary import (
    Backcross,
    Line,
    PedigreeCross,
    crossed,
    expand_backcrosses,
    format_pedigree,
    parse_pedigree,
)

A, B, C, D = map(Line, "ABCD")


def by(female, male):
    return PedigreeCross(female, male)


def test_scout():
    """Pedigree of the cultivar Scout, as the help text on cultivar pedigrees reads it."""
    tree = by(
        by(Line("Nebred"), by(Line("Hope"), Line("Turkey Red"))),
        by(Line("Cheyenne"), Line("Ponca")),
    )
    written = "Nebred//Hope/Turkey Red/3/Cheyenne/Ponca"
    assert parse_pedigree(written) == tree
    assert parse_pedigree("Nebred/2/Hope/Turkey Red/3/Cheyenne/Ponca") == tree
    assert format_pedigree(tree) == written


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("A", A),
        ("A/B", by(A, B)),
        (" A / B ", by(A, B)),
        ("A/B//C", by(by(A, B), C)),
        ("A//B/C", by(A, by(B, C))),
        ("A/B//C/D", by(by(A, B), by(C, D))),
        ("A/B//C/3/D", by(by(by(A, B), C), D)),
        ("A/B//C///D", by(by(by(A, B), C), D)),
        ("D/3/A/B//C", by(D, by(by(A, B), C))),
        ("A/B*3", Backcross(A, B, 3)),
        ("A*3/B", Backcross(B, A, 3, recurrent_is_female=True)),
        ("A/3*B", Backcross(A, B, 3)),
        ("3*A/B", Backcross(B, A, 3, recurrent_is_female=True)),
        ("A/B//C*4", Backcross(by(A, B), C, 4)),
        ("A/B*2//C", by(Backcross(A, B, 2), C)),
        ("C//A*2/B", by(C, Backcross(B, A, 2, recurrent_is_female=True))),
        ("北京 8/Безостая 1", by(Line("北京 8"), Line("Безостая 1"))),
        ("A/ 3 /B", None),
        ("A/ 3//B", by(by(A, Line("3")), B)),
    ],
)
def test_what_is_written_is_what_was_crossed(text, tree):
    if tree is None:
        with pytest.raises(PedigreeError):
            parse_pedigree(text)
    else:
        assert parse_pedigree(text) == tree


@pytest.mark.parametrize(
    ("short", "whole"),
    [
        ("A/B*3", "A/B//B///B"),  # as a course page on breeding methods writes it
        ("A/B*2", "A/B//B"),
        ("A*2/B", "A//A/B"),
        ("A/B*2//C", "A/B//B/3/C"),
        ("A/B", "A/B"),
    ],
)
def test_a_backcross_is_short_for_crosses(short, whole):
    assert expand_backcrosses(parse_pedigree(short)) == parse_pedigree(whole)


def test_the_f1_gets_the_next_level():
    assert format_pedigree(crossed("A", "B")) == "A/B"
    assert format_pedigree(crossed("A/B", "C")) == "A/B//C"
    assert format_pedigree(crossed("C", "A/B")) == "C//A/B"
    assert format_pedigree(crossed("A/B//C", parse_pedigree("D"))) == "A/B//C/3/D"
    assert format_pedigree(crossed("A/B*3", "C/D")) == "A/B*3//C/D"


def test_a_level_left_out_changes_nothing_and_is_written_without_the_gap():
    assert format_pedigree(parse_pedigree("A/B/5/C")) == "A/B//C"


OF_THE_NOTATION = (
    "/*\N{FULLWIDTH SOLIDUS}\N{FRACTION SLASH}\N{DIVISION SLASH}"
    "\N{FULLWIDTH ASTERISK}\N{ASTERISK OPERATOR}"
)
names = st.text(
    st.characters(
        exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp"), exclude_characters=OF_THE_NOTATION
    ),
    min_size=1,
    max_size=12,
).filter(str.strip)
lines = st.one_of(names, st.from_regex(r"[0-9]{1,5}", fullmatch=True)).map(Line)
pedigrees = st.recursive(
    lines,
    lambda below: st.one_of(
        st.builds(PedigreeCross, below, below),
        st.builds(Backcross, below, lines, st.integers(2, 99), st.booleans()),
    ),
)


def shape(pedigree):
    """The tree as nested tuples: compares without the notation."""
    if isinstance(pedigree, Line):
        return pedigree.name
    if isinstance(pedigree, PedigreeCross):
        return shape(pedigree.female), shape(pedigree.male)
    recurrent = shape(pedigree.recurrent), pedigree.uses, pedigree.recurrent_is_female
    return "*", shape(pedigree.donor), *recurrent


@given(pedigrees)
def test_what_is_written_reads_back(pedigree):
    written = format_pedigree(pedigree)
    assert shape(parse_pedigree(written)) == shape(pedigree)
    assert format_pedigree(parse_pedigree(written)) == written


@given(pedigrees, pedigrees)
def test_equal_means_the_same_tree(one, other):
    assert (one == other) == (shape(one) == shape(other))
    assert len({one, other}) == (1 if shape(one) == shape(other) else 2)


@given(st.text("AB/*23 ", max_size=20))
def test_any_text_is_a_pedigree_or_an_error_that_says_where(text):
    error = None
    try:
        pedigree = parse_pedigree(text)
    except PedigreeError as caught:
        error = caught
    if error is None:
        written = format_pedigree(pedigree)
        assert format_pedigree(parse_pedigree(written)) == written
        return
    assert error.cure
    assert 1 <= int(error.where.removeprefix("column ")) <= len(text) + 1


def test_thousands_of_crosses_deep_and_ten_thousand_characters_are_quick():
    begun = time.process_time()
    text = "A/B//C" + "".join(f"/{level}/L{level}" for level in range(3, 1093))
    assert 9_000 < len(text) <= 10_000
    tree = parse_pedigree(text)
    assert format_pedigree(tree) == text
    assert tree == parse_pedigree(text)
    assert format_pedigree(crossed("X", tree)) == f"X/1093/{text}"
    assert format_pedigree(expand_backcrosses(tree)) == text
    assert time.process_time() - begun < 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "column 1: a parent is missing"),
        ("/A", "column 1: a parent is missing"),
        ("A/", "column 3: a parent is missing"),
        ("A/B// /3/C", "column 6: a parent is missing"),
        ("A//B/", "column 6: a parent is missing"),
        ("A/3//B", "column 5: a parent is missing"),
        ("A/B/C", "column 4: / comes a second time beside the one in column 2.* Write // for"),
        ("A//B//C", "column 5: // comes a second time.* Write /3/ for"),
        ("A/B/3/C/3/D", "column 8: /3/ comes a second time beside the one in column 4.* /4/"),
        ("A/0/B", "column 2: /0/ is no cross"),
        ("A/B*", r"column 3: B\* has no count"),
        ("A/B*x", "no count that can be"),
        ("A/B*1", "no count that can be"),
        ("A/B*0", "no count that can be"),
        ("A/B*100", "no count that can be"),
        ("A/B*-2", "no count that can be"),
        ("A/ B*2*3", "column 4: .* no count that can be"),
        ("A/*2", "no count that can be"),
        ("A*2/B*2", "column 5: both parents"),
        ("A*2", "column 1: a count of 2 stands beside a line that is crossed with nothing"),
        ("A\N{FULLWIDTH SOLIDUS}B", "column 1: .*looks like /"),
        ("A/B\tC", "column 3: .*control character"),
        ("A" * 10_001, "10000 characters at most"),
    ],
)
def test_errors_say_where_and_what_to_do(text, said):
    with pytest.raises(PedigreeError, match=said) as caught:
        parse_pedigree(text)
    assert caught.value.cure


def test_a_cross_says_which_parent_is_at_fault():
    with pytest.raises(PedigreeError, match="male, column 3: a parent is missing"):
        crossed("A", "B/")


def test_records_of_pedigrees_check_themselves():
    with pytest.raises(PedigreeError, match="stands for crossing"):
        Line("A/B")
    with pytest.raises(PedigreeError, match="from 2 to 99"):
        Backcross(A, B, 1)
    assert repr(by(A, B)) == "parse_pedigree('A/B')"
    assert A != "A"
