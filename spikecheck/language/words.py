"""Texts by GNU gettext, with the project's catalogue.

``_`` and its kin are called with literal texts only, so that a program can gather them; values go
in afterwards with ``str.format`` and names, since another language may order them otherwise. Where
somebody reads, names written from right to left are kept in one piece as they go in.
"""

from __future__ import annotations

import gettext
from functools import cache
from typing import TYPE_CHECKING

from spikecheck.language.chosen import Language, language
from spikecheck.language.isolates import Sentence

if TYPE_CHECKING:
    from pathlib import Path


def _(message: str) -> str:
    """Return ``message`` in the reader's language; itself where there is no translation."""
    # An empty text stands for the head of the catalogue.
    chosen = language()
    return _read(_texts(chosen).gettext(message), chosen) if message else ""


def ngettext(one: str, several: str, count: int) -> str:
    """Return the form of a text for ``count`` things in the reader's language."""
    chosen = language()
    return _read(_texts(chosen).ngettext(one, several, count), chosen)


def pgettext(context: str, message: str) -> str:
    """Return ``message`` as it is meant in ``context``, for words of several meanings."""
    chosen = language()
    return _read(_texts(chosen).pgettext(context, message), chosen)


def N_(message: str) -> str:  # noqa: N802  (the name that gettext's tools look for)
    """Mark ``message`` for the catalogue and return it as it is: whoever shows it translates it."""
    return message


def NN_(one: str, several: str) -> tuple[str, str]:  # noqa: N802
    """Mark the two forms of a text for the catalogue: ``ngettext(*FORMS, count)`` chooses."""
    return one, several


def catalogue_file(chosen: Language) -> Path:
    """Return the file with the texts of a language."""
    from pathlib import Path

    return Path(__file__).with_name("catalogue") / f"{chosen}.po"


def _read(text: str, chosen: Language | None) -> str:
    # Commands, records and logs hold names just as they were typed.
    return text if chosen is None else Sentence(text)


@cache
def _texts(chosen: Language | None) -> gettext.NullTranslations:
    """Return the texts of a language, compiled once: only the readable catalogue is kept.

    A catalogue that is not there or cannot be read leaves the texts English: a word that nobody
    expected in English is better than a page that does not come up.
    """
    if chosen is None or chosen is Language.ENGLISH:
        return gettext.NullTranslations()
    from io import BytesIO

    from babel.messages.mofile import write_mo
    from babel.messages.pofile import PoFileError, read_po

    compiled = BytesIO()
    try:
        with catalogue_file(chosen).open("rb") as file:
            write_mo(compiled, read_po(file, locale=chosen, abort_invalid=True))
    except (OSError, PoFileError, ValueError):
        return gettext.NullTranslations()
    compiled.seek(0)
    return gettext.GNUTranslations(compiled)
