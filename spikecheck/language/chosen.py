"""Which language the reader chose."""

from __future__ import annotations

from contextlib import contextmanager
from contextvars import ContextVar
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator


class Language(StrEnum):
    """A language with a complete catalogue, by its ISO 639-1 code."""

    ENGLISH = "en"
    SPANISH = "es"


LANGUAGES = {Language.ENGLISH: "English", Language.SPANISH: "Español"}
"""Every language by its own name, which is never translated."""

# Empty: ask. It may hold None, which is said as well: no language, whoever reads.
_SET: ContextVar[tuple[Language | None, ...]] = ContextVar("language", default=())


def _nobody_chose() -> Language | None:
    return None


_ask: Callable[[], Language | None] = _nobody_chose


def ask_for_language(source: Callable[[], Language | None]) -> None:
    """Ask ``source`` from now on who reads, each time a text is made.

    A page serves many readers from many threads, and its callbacks run before its script: so it is
    asked rather than told.
    """
    global _ask  # noqa: PLW0603  (one server, one way to find its readers)
    _ask = source


def language() -> Language | None:
    """Return the reader's language, or None where nobody chose one."""
    chosen = _SET.get()
    return chosen[0] if chosen else _ask()


@contextmanager
def in_language(chosen: Language | None) -> Iterator[None]:
    """Speak this language inside the ``with``, whoever reads; None for what is recorded."""
    token = _SET.set((chosen,))
    try:
        yield
    finally:
        _SET.reset(token)


def language_of_locale(locale: str | None) -> Language:
    """Return the language for a locale as browsers tell it, such as ``es-AR``; else English.

    Parameters
    ----------
    locale
        A BCP 47 tag, or None.
    """
    first = (locale or "").replace("_", "-").split("-")[0].lower()
    return Language(first) if first in set(Language) else Language.ENGLISH
