"""Which language the visitor reads."""

from __future__ import annotations

import streamlit as st
from streamlit.runtime.scriptrunner import get_script_run_ctx

from spikecheck.language import (
    LANGUAGES,
    Language,
    _,
    ask_for_language,
    language,
    language_of_locale,
)

_PARAMETER = "language"


def listen() -> None:
    """Let every text ask for this visitor's language."""
    ask_for_language(reader_language)


def reader_language() -> Language | None:
    """Return the language in the page's address, else the browser's; None outside of a visit."""
    if get_script_run_ctx(suppress_warning=True) is None:
        return None
    chosen = st.query_params.get(_PARAMETER)
    return Language(chosen) if chosen in set(Language) else language_of_locale(st.context.locale)


def date_format() -> str:
    """Return how inputs spell a day, as Streamlit names it: ISO 8601, or as Spanish does."""
    return "DD/MM/YYYY" if language() is Language.SPANISH else "YYYY-MM-DD"


def choose_language() -> None:
    """Show the languages to choose from; the choice stays in the page's address.

    The browser is told which it is, so that a screen reader pronounces the page in it.
    """

    def choose() -> None:
        st.query_params[_PARAMETER] = st.session_state[_PARAMETER]

    st.session_state[_PARAMETER] = reader_language()
    st.radio(
        _("Language"),
        list(LANGUAGES),
        format_func=LANGUAGES.__getitem__,
        key=_PARAMETER,
        on_change=choose,
        horizontal=True,
    )
    spoken = reader_language() or Language.ENGLISH
    # Streamlit serves every page as English; nothing but one of our own codes goes in.
    st.html(
        f'<script>document.documentElement.lang = "{spoken.value}"</script>',
        unsafe_allow_javascript=True,
    )
