"""Who is signed in: random tokens, in the memory of one process, that end by themselves."""

from __future__ import annotations

import hashlib
import secrets
import threading
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

_TOKEN_BYTES = 32


@dataclass(frozen=True, slots=True)
class SignedIn:
    """One sign-in.

    Parameters
    ----------
    name
        Whose it is.
    credential
        Digest of what the person signed in with: with another password, the sign-in is over.
    until
        When it ends, s since 1970 (UTC).
    """

    name: str
    credential: str
    until: float


class SignIns:
    """Keeps sign-ins by token; of a token only its digest is kept.

    A ticket stands for a token once and for a short while, so that a browser can fetch the token
    as a cookie that no script of the page can read.

    Parameters
    ----------
    longest_s, ticket_s
        How long a sign-in lasts, and a ticket, s.
    clock
        Tells the seconds since 1970 (UTC).
    """

    def __init__(
        self, *, longest_s: float, ticket_s: float, clock: Callable[[], float] = time.time
    ) -> None:
        self._longest_s = longest_s
        self._ticket_s = ticket_s
        self._clock = clock
        self._kept: dict[str, SignedIn] = {}
        self._tickets: dict[str, tuple[str, float]] = {}
        self._alone = threading.Lock()

    def begin(self, name: str, credential: str) -> str:
        """Begin a sign-in and return its token."""
        token = secrets.token_urlsafe(_TOKEN_BYTES)
        with self._alone:
            now = self._clock()
            self._forget(now)
            self._kept[_digest(token)] = SignedIn(name, credential, now + self._longest_s)
        return token

    def of(self, token: str) -> SignedIn | None:
        """Return the sign-in of a token; None when there is none, or it has ended."""
        with self._alone:
            self._forget(self._clock())
            return self._kept.get(_digest(token))

    def end(self, token: str) -> None:
        """End a sign-in, wherever its token is kept."""
        with self._alone:
            self._kept.pop(_digest(token), None)

    def ticket(self, token: str) -> str:
        """Return a ticket for a token."""
        ticket = secrets.token_urlsafe(_TOKEN_BYTES)
        with self._alone:
            now = self._clock()
            self._forget(now)
            self._tickets[_digest(ticket)] = token, now + self._ticket_s
        return ticket

    def redeem(self, ticket: str) -> tuple[str, int] | None:
        """Return the token of a ticket and how long it still counts, s; None for a used one."""
        with self._alone:
            now = self._clock()
            self._forget(now)
            token, _until = self._tickets.pop(_digest(ticket), ("", 0.0))
            signed_in = self._kept.get(_digest(token))
        return None if signed_in is None else (token, int(signed_in.until - now))

    def _forget(self, now: float) -> None:
        self._kept = {key: one for key, one in self._kept.items() if one.until > now}
        self._tickets = {key: one for key, one in self._tickets.items() if one[1] > now}


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()
