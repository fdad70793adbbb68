"""Recorded reasons in the reader's language.

A result keeps its reasons in English, whoever had them made: it is filed once and read by many.
"""

from __future__ import annotations

import re
from functools import cache

from spikecheck.assessment import sentences
from spikecheck.language import _, ngettext

_FIELD = re.compile(r"\{(\w+)\}")


def retold(message: str) -> str:
    """Return the message of a reason in the reader's language.

    Parameters
    ----------
    message
        As it stands in a result, of this version or an earlier one.

    Returns
    -------
    str
        The message itself where it is none of the known sentences, or nobody chose a language.
    """
    told = _told(message)
    return message if told is None else told


def _told(text: str) -> str | None:
    for one, several, form in _forms():
        found = form.fullmatch(text)
        if found is None:
            continue
        counted = found.groupdict().get("n", "")
        template = ngettext(one, several, int(counted)) if several else _(one)
        values = {name: _value(value) for name, value in found.groupdict().items()}
        return template.format(**values)
    return None


def _value(text: str) -> str:
    """Return a part of a sentence: a text of its own, or data that stay as they are."""
    told = _told(text)
    if told is None and text[:1].isupper():
        # A phrase at the beginning of a sentence.
        told = _told(text[0].lower() + text[1:])
        return text if told is None else told[:1].upper() + told[1:]
    return text if told is None else told


@cache
def _forms() -> tuple[tuple[str, str, re.Pattern[str]], ...]:
    """Return each text, its form for several or nothing, and what finds it."""
    found = []
    for text in sentences.ALL:
        one, several = (text, "") if isinstance(text, str) else text
        found += [(one, several, _finds(form)) for form in filter(None, (one, several))]
    return tuple(found)


def _finds(text: str) -> re.Pattern[str]:
    parts = _FIELD.split(text)
    return re.compile("".join(
        (rf"(?P<{part}>\d+)" if part == "n" else rf"(?P<{part}>.+?)") if index % 2
        else re.escape(part)
        for index, part in enumerate(parts)
    ), re.DOTALL)  # fmt: skip
