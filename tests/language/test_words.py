"""Texts in the reader's language, and the way back to English."""

from __future__ import annotations

import pytest

from spikecheck.language import (
    Language,
    _,
    ask_for_language,
    chosen,
    in_language,
    language,
    language_of_locale,
)


def test_nobody_chose_a_language_outside_a_page():
    assert language() is None


def test_a_page_is_asked_who_reads(monkeypatch):
    monkeypatch.setattr(chosen, "_ask", chosen._ask)
    ask_for_language(lambda: Language.SPANISH)
    assert language() is Language.SPANISH
    with in_language(Language.ENGLISH):
        assert language() is Language.ENGLISH
    assert language() is Language.SPANISH


@pytest.mark.parametrize("language", [None, *Language])
def test_a_text_without_translation_stays_as_it_is(language):
    if language is None:
        assert _("a text that is in no catalogue") == "a text that is in no catalogue"
        return
    with in_language(language):
        assert _("a text that is in no catalogue") == "a text that is in no catalogue"


@pytest.mark.parametrize(
    ("locale", "expected"),
    [
        ("es", "es"), ("es-AR", "es"), ("ES_mx", "es"), ("en-US", "en"), ("de", "en"), (None, "en"),
        ("", "en"), ("not a locale", "en"),
    ],
)  # fmt: skip
def test_the_language_of_a_browser(locale, expected):
    assert language_of_locale(locale) == expected
