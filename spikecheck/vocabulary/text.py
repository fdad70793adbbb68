"""Names and ids as people type them, in any script, made safe to keep and to look up.

Text is kept in Unicode normal form C without blanks at its ends, so that the same id typed on two
keyboards finds the same cross. Characters that nobody sees (NUL, escape, line ends in a name) and
half characters are refused: they break tables, terminals and other databases.
"""

from __future__ import annotations

import unicodedata

from spikecheck.errors import UsageError
from spikecheck.language import _, without_isolates

LONGEST_ID = 64
LONGEST_FOLDED_ID = 3 * LONGEST_ID  # one letter folds to three at the most
LONGEST_NAME = 200
LONGEST_NOTE = 4000
_LONGEST_FILE_NAME = 255

_UNSEEN = {"Cc", "Cs", "Zl", "Zp"}
# Marks that nobody sees and that turn or split what is shown, so that two names look alike.
_FORMAT = "Cf"
# But for those that scripts such as Persian and Hindi spell with, and emoji of several people.
_JOINERS = "\u200c\u200d"
_LINE_ENDS = "\n\t"


def tidy_id(text: str, *, what: str) -> str:
    """Return ``text`` as the id ``what``.

    Raises
    ------
    UsageError
        If it is empty, longer than 64 characters or holds control characters.
    """
    return _tidy(text, what=what, longest=LONGEST_ID)


def folded_id(tidy: str) -> str:
    """Return a tidy id without capital letters: ids alike in this are one to whoever types them.

    Folded as the Unicode Standard has it (version 16.0, section 3.13, ``toCasefold``), which is in
    normal form C again and at most :data:`LONGEST_FOLDED_ID` characters long.
    """
    return unicodedata.normalize("NFC", tidy.casefold())


def tidy_name(text: str, *, what: str) -> str:
    """Return ``text`` as the name ``what``.

    Raises
    ------
    UsageError
        If it is empty, longer than 200 characters or holds control characters.
    """
    return _tidy(text, what=what, longest=LONGEST_NAME)


def tidy_note(text: str, *, what: str, required: bool = False) -> str:
    """Return ``text`` as the free text ``what``; it may have several lines.

    Raises
    ------
    UsageError
        If it is longer than 4000 characters, holds control characters, or is ``required`` and
        empty.
    """
    lines = text.replace("\r\n", "\n")
    return _tidy(lines, what=what, longest=LONGEST_NOTE, allowed=_LINE_ENDS, required=required)


def tidy_file_name(text: str) -> str:
    """Return the last part of a path as a name to show; a file name is never refused.

    What cannot be shown (file systems allow bytes that are no text) becomes a replacement
    character; of a very long name the end is kept, where the ending is.
    """
    name = text.replace("\\", "/").rstrip("/").rpartition("/")[2]
    shown = "".join(
        "\N{REPLACEMENT CHARACTER}" if unicodedata.category(char) in _UNSEEN else char
        for char in name
    )
    return shown[-_LONGEST_FILE_NAME:] or "photo"


def _tidy(
    text: str, *, what: str, longest: int, allowed: str = "", required: bool = True
) -> str:  # fmt: skip
    text = without_isolates(text)  # copied from a page along with the name
    for char in "" if text.isprintable() else text:
        kind = unicodedata.category(char)
        if char in allowed or char in _JOINERS or kind not in _UNSEEN | {_FORMAT}:
            continue
        told = (
            _("{what} holds the invisible character {char}")
            if kind == _FORMAT
            else _("{what} holds the control character {char}")
        )
        raise UsageError(
            told.format(what=what, char=f"U+{ord(char):04X}"),
            cure=_("Type it again without it"),
        )
    tidied = unicodedata.normalize("NFC", text).strip()
    if required and not tidied:
        raise UsageError(_("{what} is empty").format(what=what), cure=_("Give one"))
    if len(tidied) > longest:
        raise UsageError(
            _("{what} has {length} characters, the most is {longest}").format(
                what=what, length=len(tidied), longest=longest
            ),
            cure=_("Shorten it"),
        )
    return tidied
