"""Pages in Spanish: words, days and decimal marks; and English where there is no other way."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from streamlit.testing.v1 import AppTest

from season_steps import CROSS, did, emasculate
from spikecheck.bundled import bundled_folder
from spikecheck.language import words
from spikecheck.vocabulary import CrossingSession
from spikecheck.vocabulary.steps import Emasculated
from visitor import Visitor

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.store import Store

LANGUAGE = "language"
OPEN = {"en": "Open this spike", "es": "Abrir esta espiga"}


def reader(language: str) -> Visitor:
    """Someone whose address of the page names a language."""
    page = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    page.query_params[LANGUAGE] = language
    visitor = Visitor(page.run())
    assert not page.exception
    return visitor


@pytest.fixture
def fresh_catalogue() -> Iterator[None]:
    """The catalogue is read anew, and again after the test."""
    words._texts.cache_clear()
    yield
    words._texts.cache_clear()


def headers(visitor: Visitor, screen: str) -> list[str]:
    visitor.go_to(screen)
    return [one.value for one in visitor.page.header]


def test_words_and_days_in_spanish(visitor: Visitor, store: Store):
    store.sessions.add(CrossingSession("S-1", date(2026, 5, 4), "Casa 2", ("Ilse",)))
    emasculate(store, 1, 2, hours_ago=1, session="S-1")
    spanish = reader("es")
    assert headers(spanish, "sessions") == ["Sesiones de cruzamientos"]
    assert "lun 4 may 2026 · Casa 2 · Ilse" in spanish.said()
    assert headers(spanish, "agenda") == ["Agenda"]
    assert "Hoy · 2 espigas" in [one.value for one in spanish.page.subheader]
    assert "Tomar fotos y comprobar: hasta el " in spanish.said()


def test_the_history_follows_the_reader_and_stays_as_it_was_recorded(
    visitor: Visitor, store: Store
):
    did(store, 3, Emasculated(20, 58, "pinzas"), hours_ago=1)
    told = {}
    for language in ("en", "es"):
        one = reader(language)
        one.go_to("spikes")
        one.page.text_input("spike-name").set_value(f"{CROSS}/3")
        one.press(OPEN[language])
        told[language] = one.said()
    assert "emasculated, 20 florets, 58 anthers pulled, pinzas" in told["en"]
    assert "emasculada, 20 flósculos, 58 anteras extraídas, pinzas" in told["es"]


def test_an_error_is_told_in_spanish(visitor: Visitor):
    spanish = reader("es")
    spanish.go_to("spikes")
    spanish.page.text_input("spike-name").set_value(f"{CROSS}/0")
    spanish.press(OPEN["es"])
    assert "las espigas se numeran desde 1, se dio 0. Dar su número" in spanish.said()


def test_a_result_is_recorded_in_english_and_shown_to_the_reader(
    visitor: Visitor,
    store: Store,
    png: Callable[[int], bytes],
    recorded_reason: str,
):
    spanish = reader("es")
    spanish.go_to("check")
    spanish.check(png(1))
    assert "Solo se fotografió una cara" in spanish.said()
    spanish.press("Registrar esta comprobación")
    (check,) = store.checks(CROSS)
    assert recorded_reason in check.result


@pytest.fixture
def recorded_reason(monkeypatch: pytest.MonkeyPatch, answer_pass: None) -> str:
    """A check that passes with one note, made the way every check makes it."""
    from spikecheck.assessment import wording
    from spikecheck.bench_check import judging
    from spikecheck.language import in_language
    from spikecheck.vocabulary import Reason

    answer = judging.check_photos

    def noted(*photos, **kind):
        from dataclasses import replace

        with in_language(None):
            reason = Reason("one_face_only", wording.one_face_only())
        return replace(answer(*photos, **kind), reasons=(reason,))

    monkeypatch.setattr(judging, "check_photos", noted)
    with in_language(None):
        return wording.one_face_only()


def test_a_choice_on_the_page_changes_it_and_stays_in_its_address(visitor: Visitor):
    english = reader("en")
    assert headers(english, "records") == ["Records"]
    english.page.radio(LANGUAGE).set_value("es").run()
    assert [one.value for one in english.page.header] == ["Registros"]
    assert english.page.query_params[LANGUAGE] == "es"


@pytest.mark.parametrize("language", ["xx", "", "<b>", "es-AR"])
def test_an_unknown_language_is_english(visitor: Visitor, language: str):
    assert headers(reader(language), "records") == ["Records"]


@pytest.mark.parametrize("damage", ["missing", "cut", "no catalogue", "not text"])
def test_without_a_catalogue_pages_are_english(
    visitor: Visitor, fresh_catalogue: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    damage: str,
):  # fmt: skip
    whole = words.catalogue_file(words.Language.SPANISH).read_bytes()
    file = tmp_path / "es.po"
    if damage != "missing":
        middle = whole.index(b"msgstr", len(whole) // 2) + len(b'msgstr "x')
        file.write_bytes(
            {"cut": whole[:middle], "no catalogue": b"<html>", "not text": b"\xff\xfe\x00"}[damage]
        )
    monkeypatch.setattr(words, "catalogue_file", lambda _: file)
    spanish = reader("es")
    # What stands before the cut may still be told in Spanish.
    expected = [["Records"], ["Registros"]] if damage == "cut" else [["Records"]]
    assert headers(spanish, "records") in expected
