"""Names of people, in any script: how they are kept, and when two are the same."""

from __future__ import annotations

import unicodedata

from spikecheck.errors import UsageError

LONGEST_NAME = 80
"""Characters of a name at most."""

_JOINERS = "\u200c\u200d"  # shape letters within words of Persian and of Indian scripts


def kept_name(typed: str) -> str:
    """Return a name as it is kept: without space around it, composed (NFC, Unicode annex 15).

    Raises
    ------
    UsageError
        If nothing is left, it is longer than 80 characters, or holds characters without shape.
    """
    name = unicodedata.normalize("NFC", typed.strip())
    if not name:
        raise UsageError("a name is empty", cure="Give the person's name")
    if len(name) > LONGEST_NAME:
        raise UsageError(f"a name has more than {LONGEST_NAME} characters", cure="Shorten it")
    if not all(char.isprintable() or char in _JOINERS for char in name) or not name_key(name):
        raise UsageError(
            "a name holds characters that cannot be seen", cure="Type it anew, in one line"
        )
    return name


def name_key(name: str) -> str:
    """Return what tells a name from others: capitals, width and joiners do not.

    Two names that look alike for these reasons are one person's, and a phone's keyboard that
    begins with a capital letter does no harm. (NFKC and case folding, Unicode annex 15 and
    section 3.13.)
    """
    shown = "".join(char for char in name if char not in _JOINERS)
    key = unicodedata.normalize("NFKC", shown).casefold()
    # Folding may leave what normalises again, and the other way round.
    return " ".join(unicodedata.normalize("NFKC", key).casefold().split())
