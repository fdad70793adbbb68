"""Roles and what each of them may do.

One table decides, for every page and every action; nothing else asks for a role by name.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from spikecheck.errors import AccessError
from spikecheck.language import N_, _


class Role(StrEnum):
    """What a person is in the crossing team."""

    TRAINEE = "trainee"
    TECHNICIAN = "technician"
    SUPERVISOR = "supervisor"


class Action(StrEnum):
    """What is allowed or not."""

    READ_CAUTIONS = "read_cautions"
    PRACTISE = "practise"
    SEE_RECORDS = "see_records"
    CHECK = "check"
    RECORD = "record"
    OVERRIDE = "override"
    PLAN = "plan"
    LABEL = "label"
    AUDIT = "audit"
    REPORT = "report"
    SEE_PRACTICE_OF_OTHERS = "see_practice_of_others"


_LEARNS = frozenset({Action.READ_CAUTIONS, Action.PRACTISE})
_WORKS = _LEARNS | {
    Action.SEE_RECORDS, Action.CHECK, Action.RECORD, Action.OVERRIDE, Action.PLAN, Action.LABEL,
}  # fmt: skip
ALLOWED: dict[Role, frozenset[Action]] = {
    Role.TRAINEE: _LEARNS,
    Role.TECHNICIAN: _WORKS,
    Role.SUPERVISOR: frozenset(Action),
}
"""Every role with what it may do. A trainee's word on a real spike counts for nothing yet."""

ROLE_WORDS = {
    Role.TRAINEE: N_("trainee"),
    Role.TECHNICIAN: N_("technician"),
    Role.SUPERVISOR: N_("supervisor"),
}


@dataclass(frozen=True, slots=True)
class Person:
    """Who sits in front of the page.

    Parameters
    ----------
    name
        As it stands in records; empty while nobody has given one.
    role
        What the person may do.
    signed_in
        Whether the name was proved. Where nobody signs in, whoever sits at the machine gives it.
    """

    name: str
    role: Role
    signed_in: bool


def may(role: Role, action: Action) -> bool:
    """Return whether ``role`` allows ``action``."""
    return action in ALLOWED[role]


def require(person: Person, action: Action) -> None:
    """Refuse what the person's role does not allow.

    Raises
    ------
    AccessError
        If it does not.
    """
    if not may(person.role, action):
        raise AccessError(
            _("a {role} may not do this").format(role=_(ROLE_WORDS[person.role])),
            cure=_("Ask a supervisor, or sign in as somebody else"),
        )
