"""Recorded reasons in the reader's language.

A result keeps its reasons in English, whoever had them made: it is filed once and read by many.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from spikecheck.assessment import sentences
from spikecheck.language import _, ngettext

_FIELD = re.compile(r"\{(\w+)\}")
# What may stand in a field, where it is not just any text.
_VALUES = {
    "n": r"\d+",
    "stage": "|".join((*sentences.STAGES.values(), sentences.TURNING_YELLOW)),
    "side": "|".join(sentences.SIDES.values()),
}
_SEVERAL = 2


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
    for form in _forms():
        found = form.finds.fullmatch(text)
        if found is None:
            continue
        fields = found.groupdict()
        count = int(fields.get("n", form.count))
        told = ngettext(form.one, form.several, count) if form.several else _(form.one)
        return told.format(**{name: _value(value) for name, value in fields.items()})
    return None


def _value(text: str) -> str:
    """Return a part of a sentence: a text of its own, or data that stay as they are."""
    told = _told(text)
    if told is None and text[:1].isupper():
        # A phrase at the beginning of a sentence.
        told = _told(text[0].lower() + text[1:])
        return text if told is None else told[:1].upper() + told[1:]
    return text if told is None else told


@dataclass(frozen=True, slots=True)
class _Form:
    """A text as it may stand in a message: ``finds`` finds it, ``count`` is one or several."""

    one: str
    several: str
    count: int
    finds: re.Pattern[str]


@cache
def _forms() -> tuple[_Form, ...]:
    found = []
    for text in sentences.ALL:
        if isinstance(text, str):
            found.append(_Form(text, "", 1, _finds(text)))
        else:
            one, several = text
            found.append(_Form(one, several, 1, _finds(one)))
            found.append(_Form(one, several, _SEVERAL, _finds(several)))
    return tuple(found)


def _finds(text: str) -> re.Pattern[str]:
    """Return what finds a text with something in each of its fields."""
    parts = _FIELD.split(text)
    return re.compile(
        "".join(
            f"(?P<{part}>{_VALUES.get(part, '.+?')})" if index % 2 else re.escape(part)
            for index, part in enumerate(parts)
        ),
        re.DOTALL,
    )
