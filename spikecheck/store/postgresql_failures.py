"""What PostgreSQL or its driver says, in plain words with a cure.

A server that answers gives an SQLSTATE (PostgreSQL documentation, appendix A, "PostgreSQL Error
Codes"). A connection that never came about has none: the driver passes on only the words of the
server or of the network, so these are looked through for what they are known to say in English.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.language import N_

if TYPE_CHECKING:
    from sqlalchemy.exc import DBAPIError

_Told = tuple[str, str]

_BUSY = (N_("another program holds the records"), N_("Close it or try again in a moment"))
_FULL = (N_("the disk is full"), N_("Make room and try again; nothing was recorded"))
_CROSSED = (
    N_("another program changed the records at the same moment"),
    N_("Try again; nothing was recorded"),
)
_READ_ONLY = (
    N_("the records may only be read here"),
    N_("Use the address of the server that may be written to"),
)
_CROWDED = (
    N_("the database has no connection left"),
    N_("Close another program or try again later"),
)
_STARTING = (N_("the database server is starting or stopping"), N_("Try again in a moment"))
# Whether a commit that was under way arrived is not known.
_LOST = (
    N_("the connection to the database was lost"),
    N_("Look whether the last entry was recorded, then try again"),
)
_NO_RIGHT = (
    N_("this user of the database lacks the right"),
    N_("Give the user the database as its owner, or name another user"),
)
_LOGIN = (
    N_("user or password is wrong"),
    N_("Mend the address, or set PGPASSWORD or a password file (PGPASSFILE)"),
)
_NO_DATABASE = (N_("there is no such database"), N_("Make it (createdb NAME), or mend the address"))
_SHUT_OUT = (
    N_("the database server lets this user or machine not in"),
    N_("Have the user made and let in (pg_hba.conf), or mend the address"),
)
_UNREACHABLE = (
    N_("the database server cannot be reached"),
    N_("Check that it runs, and the host and port of the address"),
)
_NOT_KEPT = (
    N_("the database cannot keep this text"),
    N_("Type it again without control characters"),
)

_BY_STATE: dict[str, _Told] = {
    "55P03": _BUSY,
    "40001": _CROSSED,
    "40P01": _CROSSED,
    "25006": _READ_ONLY,
    "42501": _NO_RIGHT,
    "53100": _FULL,
    "53300": _CROWDED,
    "57P01": _LOST,
    "57P02": _LOST,
    "57P03": _STARTING,
    "28P01": _LOGIN,
    "28000": _SHUT_OUT,
    "3D000": _NO_DATABASE,
}
# First match wins: what a server says stands behind what the network says.
_BY_WORDS: tuple[tuple[str, _Told], ...] = (
    ("password authentication failed", _LOGIN),
    ("no password supplied", _LOGIN),
    ("permission denied for database", _NO_RIGHT),
    ("no pg_hba.conf entry", _SHUT_OUT),
    ("is not permitted to log in", _SHUT_OUT),
    ("authentication failed", _SHUT_OUT),
    ("too many clients", _CROWDED),
    ("too many connections", _CROWDED),
    ("remaining connection slots", _CROWDED),
    ("is starting up", _STARTING),
    ("is shutting down", _STARTING),
    ("connection refused", _UNREACHABLE),
    ("timeout", _UNREACHABLE),
    ("timed out", _UNREACHABLE),
    ("resolve host", _UNREACHABLE),
    ("translate host name", _UNREACHABLE),
    ("no route to host", _UNREACHABLE),
    ("network is unreachable", _UNREACHABLE),
    ("no such file or directory", _UNREACHABLE),
    ("closed the connection", _UNREACHABLE),
    ("cannot contain nul", _NOT_KEPT),
)


def postgresql_failure(error: DBAPIError) -> tuple[str, str] | None:
    """Return what ``error`` of PostgreSQL means and its cure, in English; None if not known."""
    state = getattr(error.orig, "sqlstate", None)
    if state is not None and state in _BY_STATE:
        return _BY_STATE[state]
    if error.connection_invalidated:
        return _LOST
    words = str(error.orig).casefold()
    if 'database "' in words and words.rstrip().endswith("does not exist"):
        return _NO_DATABASE
    if 'role "' in words and words.rstrip().endswith("does not exist"):
        return _SHUT_OUT
    return next((told for said, told in _BY_WORDS if said in words), None)
