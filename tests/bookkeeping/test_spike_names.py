"""Spikes as people name them."""

from __future__ import annotations

from contextlib import suppress
from itertools import groupby
from random import Random
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.bookkeeping.spike_names import (
    SPIKES_MOST,
    read_numbers,
    spike_named,
    spikes_named,
)
from spikecheck.errors import TagError, UnknownCrossError, UsageError
from spikecheck.season.agenda import spike_list
from spikecheck.vocabulary.steps import Tagged
from spikecheck.vocabulary.tag_code import CODE_SYMBOLS, new_code, shown_code
from tests.bookkeeping.invented import did
from tests.plans import planned

CODES = [new_code(Random(seed)) for seed in range(4)]
CODE = CODES[0]


class Nobody:
    """A store that is never asked."""

    spikes = SimpleNamespace(of_tag=None)


numbers = st.sets(st.integers(1, 10**9 - 1) | st.integers(1, 60), min_size=1, max_size=40)


def listed(several):
    """Numbers with ranges where neighbours follow, as a person would write them."""
    runs = [
        [number for _, number in run]
        for _, run in groupby(enumerate(sorted(several)), key=lambda one: one[1] - one[0])
    ]
    return ",".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else f"{run[0]}" for run in runs)


@given(numbers)
def test_what_is_written_with_ranges_is_read_back(several):
    assert read_numbers(listed(several)) == tuple(sorted(several))


@given(numbers)
def test_a_list_that_the_agenda_shows_may_be_typed(several):
    assert set(read_numbers(spike_list(tuple(sorted(several))))) == several


@given(st.lists(st.integers(1, 50), min_size=1, max_size=30), st.data())
def test_each_is_named_once_in_the_order_given(several, data):
    blank = data.draw(st.sampled_from(["", " ", "  "]))
    assert read_numbers(f"{blank},{blank}".join(map(str, several))) == tuple(dict.fromkeys(several))


@given(st.text("0123456789-, \N{EN DASH}x", max_size=12))
def test_any_text_lists_numbers_from_1_or_is_refused(text):
    with suppress(UsageError):
        found = read_numbers(text)
        assert found
        assert min(found) >= 1
        assert len(set(found)) == len(found) <= SPIKES_MOST


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "does not list numbers"),
        ("a", "does not list numbers"),
        ("1,,2", "does not list numbers"),
        ("-3", "does not list numbers"),
        ("1-2-3", "does not list numbers"),
        ("1.5", "does not list numbers"),
        ("9" * 10, "does not list numbers"),
        ("0", "numbered from 1"),
        ("0-3", "numbered from 1"),
        ("4-1", "4-1 is no range"),
        (f"1-{SPIKES_MOST + 1}", "no range of spikes"),
        (f"1-{SPIKES_MOST},1", "more than 10000"),
    ],
)
def test_what_is_no_list_is_told(text, said):
    with pytest.raises(UsageError, match=said) as refused:
        read_numbers(text)
    assert refused.value.cure


def test_as_many_as_may_be_are_read():
    assert len(read_numbers(f"1-{SPIKES_MOST}")) == SPIKES_MOST


def test_spikes_of_several_crosses_and_by_tag(store):
    store.plans.add(planned("N/7"))
    did(store, 3, Tagged(CODE))
    texts = ["N/7/2", " C-1/1-2,1 ", f"{CODE[:4]}-{CODE[4:]}".lower(), shown_code(CODE), "C-1/2"]
    assert spikes_named(store, texts) == (("N/7", 2), ("C-1", 1), ("C-1", 2), ("C-1", 3))
    assert spike_named(store, CODE) == ("C-1", 3)
    assert spikes_named(store, []) == ()


def test_a_name_copied_from_a_page_is_found(store):
    """Pages mark a cross, or the whole name, as one piece (Unicode Standard Annex #9, 2.4.2)."""
    store.plans.add(planned("הצלבה 14"))
    for text in ("\u2068הצלבה 14\u2069/3", "\u2068הצלבה 14/3\u2069", " \u2068C-1/3\u2069 "):
        assert spike_named(store, text)[1] == 3


def test_one_spike_is_not_several(store):
    with pytest.raises(UsageError, match="C-1/1-4 names 4 spikes"):
        spike_named(store, "C-1/1-4")


def test_an_unknown_cross_is_told_with_those_that_look_like_it(store):
    with pytest.raises(UnknownCrossError, match="C-1"):
        spikes_named(store, ["C-11/3"])
    with pytest.raises(UsageError, match="is empty"):
        spikes_named(store, ["/3"])


def test_a_cross_named_in_other_capitals_is_never_taken_for_it(store):
    """Two crosses of older records may differ in these alone: nobody is led to the other one."""
    store.plans.add(planned("M-01"))
    with pytest.raises(UnknownCrossError, match=r"no cross m-01 is recorded\. Did you mean M-01\?"):
        spike_named(store, "m-01/3")


def test_a_code_that_no_spike_has_is_told(store):
    with pytest.raises(TagError, match=f"no spike has the tag {shown_code(CODE)}"):
        spike_named(store, CODE)


@given(st.integers(0, 7), st.sampled_from(CODE_SYMBOLS), st.sampled_from(CODES))
def test_a_code_with_a_wrong_character_names_no_spike(place, symbol, code):
    """A MOD 37-2 check character tells every wrong character (ISO/IEC 7064)."""
    wrong = code[:place] + symbol + code[place + 1 :]
    if wrong == code:
        return
    with pytest.raises(TagError, match=r"names no spike .*does not fit the others") as refused:
        spikes_named(Nobody(), [wrong])
    assert "C-014/3" in refused.value.cure


@pytest.mark.parametrize("text", ["", "K7Q2", "K7Q29XM0", "\x1b[2J", "C-1"])
def test_what_is_neither_cross_nor_code_is_told(text):
    with pytest.raises(TagError, match="names no spike") as refused:
        spikes_named(Nobody(), [text])
    assert str(refused.value).isprintable()
