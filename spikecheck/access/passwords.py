"""Passwords: which are taken, how they are kept (Argon2id, RFC 9106) and compared."""

from __future__ import annotations

import unicodedata
from functools import cached_property
from typing import TYPE_CHECKING

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from spikecheck.access.blocklist import is_expected
from spikecheck.errors import UsageError

if TYPE_CHECKING:
    from spikecheck.thresholds.access import AccessThresholds

_PARTS_OF_A_CHARACTER = 4  # as many as composition makes one of in any common script


def normalised(password: str) -> str:
    """Return a password as it is compared, however a keyboard composed its characters.

    NFKC (Unicode annex 15), one of the two forms of NIST SP 800-63B (2017), section 5.1.1.2, from
    memory.
    """
    return unicodedata.normalize("NFKC", password)


class Passwords:
    """Makes hashes of passwords and compares with them.

    Parameters
    ----------
    numbers
        Parameters of the hash, and how long a password may be.
    """

    def __init__(self, numbers: AccessThresholds) -> None:
        self._numbers = numbers
        self._hasher = PasswordHasher(
            time_cost=int(numbers.passes),
            memory_cost=int(numbers.memory_kib),
            parallelism=int(numbers.lanes),
            salt_len=int(numbers.salt_bytes),
            hash_len=int(numbers.tag_bytes),
        )

    def hashed(self, password: str, *, name: str) -> str:
        """Return the hash of a new password of the person called ``name``.

        Raises
        ------
        UsageError
            If the password is too short, too long, or one of those that are tried first. Nothing
            else is asked of it: any characters of any script will do.
        """
        taken = normalised(password)
        least = int(self._numbers.password_length_least)
        most = int(self._numbers.password_length_most)
        if not least <= len(taken) <= most:
            raise UsageError(
                f"the password has {len(taken)} characters",
                cure=f"Take {least} to {most}: a sentence of a few words is easy to remember, and "
                "spaces count",
            )
        if is_expected(taken, name=name, shortest=least):
            raise UsageError(
                "the password can be guessed: it is made of names, of words that many take or of "
                "characters in their order, or it says the same again and again",
                cure="Take a sentence of a few words that is your own; it is easy to remember",
            )
        return self._hasher.hash(_bytes(taken))

    def renewed(self, password: str) -> str:
        """Return the hash of a password that was taken before, with the parameters in force."""
        return self._hasher.hash(_bytes(normalised(password)))

    def fits(self, hashed: str, password: str) -> bool:
        """Return whether this is the password; without a hash the answer takes as long, and is no.

        Parameters
        ----------
        hashed
            Its hash; empty where there is no such person, or none with a password.
        password
            As it was typed; what is far longer than any that is taken is not looked at in full.
        """
        most = _PARTS_OF_A_CHARACTER * int(self._numbers.password_length_most)
        taken = _bytes(normalised(password[:most]))
        try:
            return self._hasher.verify(hashed or self._nobodys, taken) and bool(hashed)
        except VerificationError:
            return False

    def outdated(self, hashed: str) -> bool:
        """Return whether a hash was made with other parameters than are in force."""
        return self._hasher.check_needs_rehash(hashed)

    @cached_property
    def _nobodys(self) -> str:
        """The hash that names nobody has are compared with."""
        return self._hasher.hash("")


def _bytes(password: str) -> bytes:
    """Return it encoded; a browser may send half of a character."""
    return password.encode("utf-8", "surrogatepass")


def is_hash(text: str) -> bool:
    """Return whether ``text`` is an Argon2id hash in its usual notation."""
    from argon2 import Type, extract_parameters

    try:
        return extract_parameters(text).type is Type.ID
    except InvalidHashError:
        return False
