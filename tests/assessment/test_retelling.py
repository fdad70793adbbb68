"""Recorded reasons told again: as if they had been made for the reader in the first place."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.assessment import retold, sentences, wording
from spikecheck.language import Language, in_language
from spikecheck.vocabulary import AntherStage, QualityProblem, Side
from tests.builders import anther, floret

if TYPE_CHECKING:
    from collections.abc import Callable

FLORETS = st.one_of(
    st.builds(lambda number: replace(floret("R1"), id=f"R{number}"), st.integers(1, 130)),
    st.just(replace(floret("L1"), id="Tip", side=Side.FRONT)),
)


@st.composite
def reasons(draw) -> Callable[[], str]:
    """What makes any reason, in whatever language it is called in."""
    stage = draw(st.sampled_from(AntherStage))
    mark = anther("L3", stage=stage, broken=draw(st.booleans()), near_anthesis=draw(st.booleans()))
    sure, place = draw(st.booleans()), draw(FLORETS)
    count, share = draw(st.integers(1, 25)), draw(st.floats(0, 1))
    more, number = draw(st.integers(0, 4)), draw(st.integers(1, 3))

    def there() -> str:
        return wording.mark_in_floret(wording.anther_name(mark, sure=sure), place, more=more)

    def outside() -> str:
        return wording.mark_outside(wording.anther_name(mark, sure=sure))

    made = draw(
        st.sampled_from([
            lambda: wording.too_close(there(), with_cure=sure),
            lambda: wording.too_close(outside(), with_cure=sure),
            lambda: wording.anther_left(there(), count=more + 1),
            lambda: wording.anther_outside(outside()),
            lambda: wording.anther_suspected(place),
            lambda: wording.not_clipped(place),
            lambda: wording.not_seen(place),
            lambda: wording.many_not_clipped(count),
            lambda: wording.part_not_read(share),
            lambda: wording.too_few_florets(count, count + 1),
            lambda: wording.several_tags(["K7Q29XMT", "23456789"]),
            lambda: wording.risk_too_high(share, share / 2),
            wording.unfamiliar,
            wording.not_judgeable,
            wording.one_face_only,
            lambda: wording.and_more(draw_code, count),
            lambda: problem.advice,
        ])
    )  # fmt: skip
    draw_code = draw(st.sampled_from(list(sentences.AND_MORE)))
    problem = draw(st.sampled_from(QualityProblem))
    return (lambda: wording.in_photo(made(), number)) if draw(st.booleans()) else made


@given(make=reasons(), language=st.sampled_from(Language))
def test_it_is_told_as_if_it_had_been_made_for_the_reader(make, language):
    recorded = make()
    with in_language(language):
        assert retold(recorded) == make()
    assert retold(recorded) == recorded


@given(st.text())
def test_what_is_no_known_sentence_stays_as_it_is(text):
    with in_language(Language.SPANISH):
        assert retold(f"earlier version: {text}") == f"earlier version: {text}"


# The sentences and their order are Spanish by the catalogue; the expected text is written here.
@pytest.mark.parametrize(
    ("recorded", "expected"),
    [
        (
            (
                "Photo 2: Possible piece of a yellow anther in floret L12 (left side, 12th from "
                "the base), and 2 more such marks there: pull them out and take the photo again."
            ),
            (
                "Foto 2: Posible trozo de una antera amarilla en el flósculo L12 (lado izquierdo, "
                "12.º desde la base), y allí 2 marcas más iguales: extraerlas y volver a tomar la "
                "foto."
            ),
        ),
        (
            "Green anther outside the florets: take it off and take the photo again.",
            "Antera verde fuera de los flósculos: quitarla y volver a tomar la foto.",
        ),
    ],
)
def test_in_spanish(recorded, expected):
    with in_language(Language.SPANISH):
        assert retold(recorded) == expected


FIELDS = re.compile(r"\{(\w+)\}")
EXAMPLES = {"n": "2", "stage": "green", "side": "front"}


def test_every_text_is_found_again():
    for text in sentences.ALL:
        for form in (text,) if isinstance(text, str) else text:
            filled = FIELDS.sub(lambda field: EXAMPLES.get(field[1], "x"), form)
            with in_language(Language.SPANISH):
                assert retold(filled) != filled
