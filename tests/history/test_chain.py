"""The chain of hashes and the spelling it is made over."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import ChainError
from spikecheck.history.chain import BEGINNING, entry_hash, spelled
from spikecheck.history.step_json import read_step, step_data
from spikecheck.vocabulary import Step, StepKind
from spikecheck.vocabulary.steps import Pollinated, Selected, ThirdCount, Threshed, kind_of
from tests.history.spike_way import WAY, at, step

_TEXT = st.text(st.characters(exclude_categories=("Cs",)), max_size=20)


def test_hash_is_sha256():
    """FIPS 180-4 through the well-known digest of the empty text, and a line end before it."""
    # echo | sha256sum
    newline = "01ba4719c80b6fe911b091a7c05124b64eeece964e09c058ef8f9805daca546b"
    assert entry_hash("", "") == newline


def test_spelling_follows_rfc_8785():
    """RFC 8785, section 3.2.3: keys in order, no blanks, letters as they are; of what is used."""
    body = {"\u20ac": "Euro Sign", "1": "One", "\u00f6": "Latin Small Letter O With Diaeresis"}
    assert spelled(body) == (
        '{"1":"One","\u00f6":"Latin Small Letter O With Diaeresis","\u20ac":"Euro Sign"}'
    )
    assert spelled({"b": [1, None, True], "a": '"\\\n'}) == r'{"a":"\"\\\n","b":[1,null,true]}'


@given(st.lists(_TEXT, min_size=2, max_size=6), st.data())
def test_any_change_changes_the_last_hash(texts: list[str], data: st.DataObject):
    def last(several: list[str]) -> str:
        head = BEGINNING
        for text in several:
            head = entry_hash(head, spelled({"note": text}))
        return head

    place = data.draw(st.integers(0, len(texts) - 1))
    changed = [*texts]
    changed[place] += "x"
    assert last(changed) != last(texts)
    assert last(texts[:-1]) != last(texts)


@pytest.mark.parametrize("detail", WAY, ids=lambda detail: type(detail).__name__)
def test_steps_come_back_as_they_were(detail: object):
    one = step(detail, 3)
    data = json.loads(spelled(step_data(one)))
    assert read_step(kind_of(one.detail), data) == one


@given(by=_TEXT, note=_TEXT, reason=_TEXT)
def test_any_text_comes_back(by: str, note: str, reason: str):
    one = Step(Pollinated("Olmo", at(1), reason), at(2), by, "S1", note)
    assert read_step(StepKind.POLLINATED, json.loads(spelled(step_data(one)))) == one


def test_thirds_come_back():
    thirds = (ThirdCount(1, 6), ThirdCount(5, 8), ThirdCount(2, 6))
    one = step(Threshed(8, 20, thirds))
    assert read_step(StepKind.THRESHED, json.loads(spelled(step_data(one)))) == one


@pytest.mark.parametrize(
    "wrong",
    [
        {"detail": {"florets": 3}},
        {"detail": {"growth_stage": 400}},
        {"detail": None},
        {"at": "yesterday"},
    ],
)
def test_what_is_no_step_is_told(wrong: dict[str, object]):
    data = step_data(step(Selected(55)))
    with pytest.raises(ChainError, match="a step selected cannot be read"):
        read_step(StepKind.SELECTED, {**data, **wrong})


def test_nothing_is_no_step():
    with pytest.raises(ChainError, match="a step selected cannot be read"):
        read_step(StepKind.SELECTED, {})
