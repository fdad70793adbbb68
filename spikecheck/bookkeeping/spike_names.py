"""Spikes as people name them: ``C-014/3``, ``C-014/1-4,7``, or the code of a tag."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from spikecheck.errors import TagError, UsageError
from spikecheck.language import _, without_isolates
from spikecheck.vocabulary.tag_code import read_code

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.store import Store

SPIKES_MOST = 10_000
_PART = re.compile(r"(\d{1,9})(?:\s*[-\N{EN DASH}]\s*(\d{1,9}))?")


def spike_named(store: Store, text: str) -> tuple[str, int]:
    """Return id of the cross and number of the one spike that ``text`` names.

    Parameters
    ----------
    store
        Where tags are looked up.
    text
        Cross and number with a stroke between, or the code of a tag.

    Raises
    ------
    UsageError
        If it names several spikes or none.
    TagError
        If no spike has that tag.
    """
    found = spikes_named(store, [text])
    if len(found) != 1:
        raise UsageError(
            _("{text} names {found} spikes").format(text=text, found=len(found)),
            cure=_("Name one, such as C-014/3"),
        )
    return found[0]


def spikes_named(store: Store, texts: Iterable[str]) -> tuple[tuple[str, int], ...]:
    """Return cross and number of every spike named, in the order given, each once.

    Raises
    ------
    UsageError
        If a text names no spike.
    TagError
        If no spike has a tag that is named.
    """
    found: dict[tuple[str, int], None] = {}
    for text in texts:
        # Copied from a page, a name brings the marks that kept it in one piece there.
        cross, stroke, numbers = without_isolates(text).strip().rpartition("/")
        if not stroke:
            found[store.spikes.of_tag(_code(text))] = None
            continue
        for number in read_numbers(numbers):
            found[store.cross(cross).id, number] = None
    return tuple(found)


def read_numbers(text: str) -> tuple[int, ...]:
    """Return the numbers that ``text`` lists, such as ``1-4,7``.

    Raises
    ------
    UsageError
        If it is no such list, or holds more than 10,000.
    """
    numbers: list[int] = []
    for part in text.split(","):
        parts = _PART.fullmatch(part.strip())
        if parts is None:
            raise UsageError(
                _("{text!r} does not list numbers of spikes").format(text=text[:40]),
                cure=_("Write it like 3 or 1-4,7"),
            )
        first, last = int(parts[1]), int(parts[2] or parts[1])
        if first < 1:
            raise UsageError(_("spikes are numbered from 1, got 0"), cure=_("Give its number"))
        if last < first or last - first >= SPIKES_MOST:
            raise UsageError(
                _("{part} is no range of spikes").format(part=part.strip()),
                cure=_("Begin with the lower number; {spikes_most} at most").format(
                    spikes_most=SPIKES_MOST
                ),
            )
        numbers += range(first, last + 1)
        if len(numbers) > SPIKES_MOST:
            raise UsageError(
                _("these are more than {spikes_most} spikes").format(spikes_most=SPIKES_MOST),
                cure=_("Name fewer at once"),
            )
    return tuple(dict.fromkeys(numbers))


def _code(text: str) -> str:
    try:
        return read_code(text)
    except TagError as error:
        raise TagError(
            _("{text!r} names no spike ({problem})").format(text=text[:40], problem=error.what),
            cure=_("Write cross and number, such as C-014/3, or the code of its tag"),
        ) from error
