"""The code on a cross tag: seven symbols that mean nothing, and a check character.

The check character is that of ISO/IEC 7064, MOD 37-2, reckoned by python-stdnum. The other system
of the standard for letters and figures, MOD 37,36, is a hybrid one: it detects every single wrong
character too, but not every exchange of neighbours. In MOD 37-2 a character at distance k from the
end weighs 2^k modulo the prime 37, so a wrong character changes the sum, and so does an exchange of
two different characters at any distance below 36 (2 is a primitive root of 37).

MOD 37-2 has a 37th check character, ``*``, and may give any figure or letter. Codes whose check
character is not one of the symbols below are never given out, so that it is as plain as the others.
"""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING, Protocol

from spikecheck.errors import TagError
from spikecheck.language import _

if TYPE_CHECKING:
    from collections.abc import Sequence

CODE_SYMBOLS = "23456789CDFGHJKLMNPQRTVWXY"
"""Figures and letters that are not mistaken for each other: of 0 O, 1 I, 2 Z, 5 S, 8 B, U V one or
none is there. Without vowels no code is a word (common practice)."""

CODE_LENGTH = 8
_HALF = CODE_LENGTH // 2
_BLANKS = str.maketrans("", "", " \t\n\r\u00a0\u2009\u202f-\u2010\u2011\u2012\u2013\u2014")


class Chooser(Protocol):
    """What chooses symbols: the module ``secrets``, or a ``random.Random`` in tests."""

    def choice(self, seq: Sequence[str], /) -> str:
        """Return one of ``seq``."""


def new_code(random: Chooser = secrets) -> str:
    """Return a new code.

    Parameters
    ----------
    random
        What chooses the symbols.

    Returns
    -------
    str
        Eight symbols without blanks. There are some 5.6 thousand million codes: whoever keeps
        them must refuse one that is there already, which is to be expected from about a hundred
        thousand tags on.
    """
    from stdnum.iso7064 import mod_37_2

    while True:
        symbols = "".join(random.choice(CODE_SYMBOLS) for _ in range(CODE_LENGTH - 1))
        check = mod_37_2.calc_check_digit(symbols)
        if check in CODE_SYMBOLS:
            return symbols + check


def read_code(text: str) -> str:
    """Return the code that ``text`` says.

    Parameters
    ----------
    text
        As a person types it: blanks, hyphens and small letters do no harm.

    Returns
    -------
    str
        Eight symbols without blanks.

    Raises
    ------
    TagError
        If it has another length, a symbol that no code has, or its check character does not fit.
    """
    from stdnum.iso7064 import mod_37_2

    code = text.translate(_BLANKS).upper()
    if len(code) != CODE_LENGTH:
        raise TagError(
            _("a tag's code has {code_length} characters, this has {code}").format(
                code_length=CODE_LENGTH, code=len(code)
            ),
            where=text,
            cure=_("Type all of them, as printed on the tag"),
        )
    strange = sorted({symbol for symbol in code if symbol not in CODE_SYMBOLS})
    if strange:
        raise TagError(
            _("no tag's code holds {strange}").format(strange=" or ".join(strange)),
            where=text,
            cure=_("Look at the tag again: codes are made of {code_symbols}").format(
                code_symbols=CODE_SYMBOLS
            ),
        )
    if not mod_37_2.is_valid(code):
        raise TagError(
            _("this is no tag's code: its last character does not fit the others"),
            where=text,
            cure=_("Compare it with the tag: one character is wrong, or two are exchanged"),
        )
    return code


def shown_code(code: str) -> str:
    """Return ``code`` in two groups, as it is printed: ``"K7Q2 9XMT"``."""
    return f"{code[:_HALF]} {code[_HALF:]}"
