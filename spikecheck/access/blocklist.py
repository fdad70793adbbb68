"""Passwords that are tried first: names, words that many people take, keys in their order.

NIST SP 800-63B-4 (2025), section 3.1.1.2, from memory: a new password is compared, as a whole,
with those that are commonly used or expected, such as repeated or sequential characters and words
of the context; nothing else is asked of what it is made of.
"""

from __future__ import annotations

import unicodedata
from itertools import pairwise

from spikecheck.access.names import name_key

# Common practice, from memory: words of the context, and those that long passwords are most often
# made of in the languages of the page.
_WORDS = frozenset(
    {
        "spikecheck", "spike", "check", "wheat", "espiga", "trigo", "supervisor", "technician",
        "trainee", "técnico", "tecnico", "aprendiz", "password", "passphrase", "secret", "login",
        "letmein", "welcome", "changeme", "admin", "administrator", "default", "user", "guest",
        "test", "iloveyou", "correcthorsebatterystaple", "contraseña", "contrasena", "clave",
        "secreto", "bienvenido", "cambiame", "administrador", "usuario", "prueba", "teamo",
        "tequiero",
    }
)  # fmt: skip
# Keys in their order along the rows and slanting columns of usual keyboards, and digits in a ring.
_KEYS = (
    "12345678901234567890", "qwertyuiop", "qwertzuiop", "azertyuiop", "asdfghjkl", "qsdfghjklm",
    "zxcvbnm", "yxcvbnm", "wxcvbn", "qaz", "wsx", "edc", "rfv", "tgb", "yhn", "ujm",
)  # fmt: skip
_KEY_PAIRS = frozenset(pair for row in _KEYS for way in (row, row[::-1]) for pair in pairwise(way))
_RUN_LEAST = 3


def is_expected(password: str, *, name: str, shortest: int) -> bool:
    """Return whether a password is one of those that are tried first.

    That is one made of nothing but names, words of the list and characters in their order, digits
    aside; or one that says again and again what is too short by itself. Capitals, spaces and
    punctuation make no difference.

    Parameters
    ----------
    password
        The whole password.
    name
        Name of the person.
    shortest
        Least length of a password.
    """
    said = _bare(name_key(password))
    words = _WORDS | {_bare(word) for word in name_key(name).split()}
    letters = "".join(char for char in said if not char.isdigit())
    sizes = (size for size in range(1, len(said) + 1) if said.startswith(said[size:]))
    period = next(sizes, 0)  # none where all that was typed is space: that repeats as well
    repeats = 2 * period <= len(said) and period < shortest
    return repeats or _is_made_of(words, letters) or _is_made_of(words, said)


def _bare(text: str) -> str:
    """Return it without spaces and punctuation; as it is where nothing else would be left."""
    return "".join(char for char in text if unicodedata.category(char)[0] not in "PZ") or text


def _is_made_of(words: frozenset[str], text: str) -> bool:
    """Return whether ``text`` can be cut into words and runs with nothing left over."""
    reached = {0}
    for start in range(len(text)):
        if start not in reached:
            continue
        reached |= {start + len(word) for word in words if word and text.startswith(word, start)}
        run = _run(text, start)
        reached |= set(range(start + _RUN_LEAST, start + run + 1))
    return bool(text) and len(text) in reached


def _run(text: str, start: int) -> int:
    """Return for how many characters from ``start`` each follows the one before it in one way."""
    pairs = list(pairwise(text[start:]))
    longest = 1
    for follows in (
        lambda one, other: one == other,
        lambda one, other: ord(other) - ord(one) == 1,
        lambda one, other: ord(other) - ord(one) == -1,
        lambda one, other: (one, other) in _KEY_PAIRS,
    ):
        broken = (at for at, pair in enumerate(pairs, start=1) if not follows(*pair))
        longest = max(longest, next(broken, len(pairs) + 1))
    return longest
