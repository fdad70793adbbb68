"""The catalogue holds just the texts of the code, whole, and fit to be filled in."""

from __future__ import annotations

import ast
import re
from functools import cache
from string import Formatter

import pytest
from babel.messages.extract import DEFAULT_KEYWORDS, extract_from_file
from babel.messages.pofile import read_po
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.language import Language
from spikecheck.language.words import catalogue_file
from tests.house.repository import ROOT, python_files

KEYWORDS = {**DEFAULT_KEYWORDS, "N_": None, "NN_": (1, 2)}
FOREIGN = [one for one in Language if one is not Language.ENGLISH]
NUMERIC = "dfgeX%"
EMPHASIS, LINK, MARKUP = re.compile(r"\*\*"), re.compile(r"\]\([^)]*\)"), re.compile(r"<[^>]+>")


@cache
def texts_of_the_code() -> frozenset[tuple[str | None, str | tuple[str, ...]]]:
    """Every text that is wrapped, with its context."""
    found = set()
    for path in python_files("spikecheck", "app"):
        for _, message, _, context in extract_from_file("python", ROOT / path, KEYWORDS):
            found.add((context, message))
    return frozenset(found)


@cache
def catalogue(language: Language):
    with catalogue_file(language).open("rb") as file:
        return read_po(file, locale=language, abort_invalid=True)


def entries(language: Language):
    return [message for message in catalogue(language) if message.id]


def forms(text: str | tuple[str, ...]) -> tuple[str, ...]:
    return (text,) if isinstance(text, str) else tuple(text)


def fields(text: str) -> list[str]:
    """The fields of a text as they are written, each with its format."""
    return sorted(
        f"{name}!{conversion}:{spec}"
        for _, name, spec, conversion in Formatter().parse(text)
        if name is not None
    )


def test_no_text_is_wrapped_inside_an_f_string():
    """Babel does not see those: they would never be gathered."""
    found = [
        f"{path}:{call.lineno}"
        for path in python_files("spikecheck", "app")
        for text in ast.walk(ast.parse((ROOT / path).read_text("utf-8")))
        if isinstance(text, ast.JoinedStr)
        for call in ast.walk(text)
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name)
        and call.func.id in {"_", "ngettext", "pgettext"}
        and call.args and isinstance(call.args[0], ast.Constant)
    ]  # fmt: skip
    assert found == []


@pytest.mark.parametrize("language", FOREIGN)
def test_it_holds_just_the_texts_of_the_code(language):
    def written(texts) -> set:
        return {(context, forms(text)) for context, text in texts}

    there = written((one.context, one.id) for one in entries(language))
    wanted = written(texts_of_the_code())
    assert wanted - there == set(), "missing: gather them (see DEVELOPERS.md) and translate"
    assert there - wanted == set(), "stale: gather them anew"
    assert not catalogue(language).obsolete


@pytest.mark.parametrize("language", FOREIGN)
def test_every_text_is_translated_in_every_form(language):
    several = catalogue(language).num_plurals
    for one in entries(language):
        told = forms(one.string)
        assert len(told) == (1 if isinstance(one.id, str) else several), one.id
        assert all(told), one.id
        assert not one.fuzzy, one.id


@pytest.mark.parametrize("language", FOREIGN)
def test_fields_markup_and_ends_stay_as_they_are(language):
    for one in entries(language):
        first, model = forms(one.id)[0], forms(one.id)[-1]
        assert fields(forms(one.string)[-1]) == fields(model), model
        for told in forms(one.string):
            assert fields(told) in (fields(first), fields(model)), (model, told)
            for kind in (EMPHASIS, LINK, MARKUP):
                assert kind.findall(told) == kind.findall(model), (model, told)
            for end in (0, -1):
                assert told[end].isspace() == model[end].isspace(), (model, told)
            assert (told[-1] in ".:?,;") == (model[-1] in ".:?,;"), (model, told)


def test_the_form_for_one_thing_leaves_out_at_most_its_number():
    for _, text in texts_of_the_code():
        one, several = set(fields(forms(text)[0])), set(fields(forms(text)[-1]))
        assert one <= several, text
        assert several - one <= {"n!None:"}, text


@pytest.mark.parametrize("language", FOREIGN)
@given(words=st.text(), number=st.integers(0, 10**6))
def test_filling_in_never_fails(language, words, number):
    for one in entries(language):
        for told in forms(one.string):
            values = {
                name: number if spec and spec[-1] in NUMERIC else words
                for _, name, spec, _ in Formatter().parse(told)
                if name is not None
            }
            told.format(**values)
