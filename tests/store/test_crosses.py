from __future__ import annotations

import unicodedata
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from spikecheck.errors import DuplicateCrossError, UnknownCrossError, UsageError
from spikecheck.vocabulary import Verdict
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import NewCheck, Store

_SEEN = st.characters(exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp"))


def test_cross_comes_back_as_it_was_added(store: Store):
    before = datetime.now(UTC)
    added = store.plans.add(planned("W26-014", "Ferra", "Olmo/Tarn", note="short straw\nearly"))
    assert store.cross("W26-014") == added
    assert added.female == "Ferra"
    assert added.note == "short straw\nearly"
    assert added.created_at.utcoffset() == timedelta(0)
    assert before <= added.created_at <= datetime.now(UTC)


@given(
    cross_id=st.text(_SEEN, min_size=1, max_size=20),
    name=st.text(_SEEN, max_size=50),
    other=st.text(_SEEN, max_size=50),
)
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_script_round_trips(store: Store, cross_id: str, name: str, other: str):
    female, male = (unicodedata.normalize("NFC", text).strip() for text in (name, other))
    if not cross_id.strip() or not female or not male or female == male:
        return
    try:
        added = store.plans.add(planned(cross_id, name, other))
    except DuplicateCrossError as error:
        if "capital letters alone" in str(error):
            return
        added = store.cross(cross_id)
    else:
        assert (added.female, added.male) == (female, male)
        assert store.plans.parent(name).name == female
    assert added.id == unicodedata.normalize("NFC", cross_id).strip()
    assert store.cross(cross_id) == added


def test_same_id_typed_on_two_keyboards_is_one_cross(store: Store):
    composed, decomposed = "\N{LATIN SMALL LETTER E WITH ACUTE}t\xe9", "e\u0301te\u0301"
    store.plans.add(planned(decomposed, "Ferra", "Olmo"))
    assert store.cross(f" {composed} ").id == composed
    with pytest.raises(DuplicateCrossError):
        store.plans.add(planned(composed, "Ferra", "Olmo"))


@pytest.mark.parametrize(
    ("first", "second"),
    [("m-01", "M-01"), ("M-01", "m-01"), ("Straße", "STRASSE"), ("ÉT-1", "e\u0301t-1")],
)
def test_an_id_that_differs_in_capitals_alone_is_refused_with_the_first(
    store: Store, first: str, second: str
):
    kept = store.plans.add(planned(first, "Ferra", "Olmo"))
    with pytest.raises(
        DuplicateCrossError,
        match=rf"differs from {first} in capital letters alone\. Use {first}, or give another id$",
    ):
        store.plans.add(planned(second, "Tarn", "Olmo"))
    with pytest.raises(UnknownCrossError, match=rf"is recorded\. Did you mean {first}\?"):
        store.cross(second)
    assert [summary.cross for summary in store.crosses()] == [kept]
    assert store.verify().faults == ()


def test_second_cross_of_an_id_is_refused_and_the_first_stays(store: Store):
    first = store.plans.add(planned("W26-014", "Ferra", "Olmo"))
    with pytest.raises(
        DuplicateCrossError,
        match=r"^the cross W26-014 is recorded already\. Use it, or give another id$",
    ):
        store.plans.add(planned("W26-014", "Tarn", "Olmo"))
    assert [summary.cross for summary in store.crosses()] == [first]


def test_unknown_cross_names_near_ones(store: Store):
    with pytest.raises(UnknownCrossError, match="No cross is recorded yet: add it first"):
        store.cross("W26-014")
    for name in ("W26-014", "W26-041", "Barley"):
        store.plans.add(planned(name, "Ferra", "Olmo"))
    with pytest.raises(
        UnknownCrossError, match=r"no cross w26_014 is recorded\. Did you mean W26-"
    ):
        store.cross("w26_014")
    with pytest.raises(UnknownCrossError, match=r"no cross zzz is recorded\. Add the cross first"):
        store.checks("zzz")


@pytest.mark.parametrize(
    ("cross_id", "message"),
    [
        ("", "the id of the cross is empty. Give one"),
        (" \N{NO-BREAK SPACE} ", "the id of the cross is empty. Give one"),
        ("x" * 65, "the id of the cross has 65 characters, the most is 64. Shorten it"),
        ("a\0b", "the id of the cross holds the control character U[+]0000. Type it again"),
        ("a\nb", "the id of the cross holds the control character U[+]000A. Type it again"),
        ("a\x1b[31m", "the id of the cross holds the control character U[+]001B. Type it again"),
        ("a\u2028", "the id of the cross holds the control character U[+]2028. Type it again"),
        ("a\ud800", "the id of the cross holds the control character U[+]D800. Type it again"),
    ],
)
def test_id_that_cannot_be_kept_is_refused_in_one_line(store: Store, cross_id: str, message: str):
    for call in (
        store.cross,
        store.checks,
        lambda text: store.plans.add(planned(text, "Ferra", "Olmo")),
    ):
        with pytest.raises(UsageError, match=message) as caught:
            call(cross_id)
        assert str(caught.value).isprintable()
    assert store.crosses() == ()


@pytest.mark.parametrize(
    ("female", "male", "note", "message"),
    [
        ("", "Olmo", "", "the female parent is empty"),
        ("Ferra", "x" * 201, "", "the male parent has 201 characters, the most is 200"),
        ("Ferra", "Ol\tmo", "", "the male parent holds the control character U[+]0009"),
        ("Ferra", "Olmo", "x" * 4001, "the note has 4001 characters, the most is 4000"),
        ("Ferra", "Olmo", "\0", "the note holds the control character U[+]0000"),
    ],
)
def test_parents_and_note_are_checked(
    store: Store, female: str, male: str, note: str, message: str
):
    with pytest.raises(UsageError, match=message):
        store.plans.add(planned("W26-014", female, male, note=note))
    assert store.crosses() == ()


def test_counts_follow_each_spikes_latest_word(store: Store, make_check: Callable[..., NewCheck]):
    store.plans.add(planned("A", "Ferra", "Olmo"))
    store.plans.add(planned("B", "Ferra", "Olmo"))
    passing, review = make_check(Verdict.PASS), make_check(Verdict.REVIEW)
    store.add_check(review, cross="A", spike=1, by="Ida")
    store.add_check(passing, cross="A", spike=1, by="Ida")  # spike 1: pass after a second look
    store.add_check(passing, cross="A", spike=2, by="Ida")
    store.add_check(review, cross="A", spike=2, by="Ida")  # spike 2: review
    third = store.add_check(review, cross="A", spike=3, by="Ida")
    store.override(third.id, "Bo", "the anther is a shadow")  # spike 3: pass by override
    fourth = store.add_check(review, cross="A", spike=4, by="Ida")
    store.override(fourth.id, "Bo", "looks clear")
    store.override(fourth.id, "Bo", "not so sure", Verdict.REVIEW)  # spike 4: taken back
    summaries = {summary.cross.id: summary for summary in store.crosses()}
    assert (summaries["A"].spikes, summaries["A"].passed, summaries["A"].review) == (4, 2, 2)
    assert (summaries["B"].spikes, summaries["B"].passed, summaries["B"].review) == (0, 0, 0)
    assert list(summaries) == ["A", "B"]
