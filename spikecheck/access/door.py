"""Lets people in: by password or by an OpenID Connect identity, and knows who is in."""

from __future__ import annotations

import hashlib
import threading
import time
from dataclasses import replace
from typing import TYPE_CHECKING

from spikecheck.access.names import LONGEST_NAME, name_key
from spikecheck.access.passwords import Passwords
from spikecheck.access.roles import Person
from spikecheck.access.sign_ins import SignIns
from spikecheck.access.throttle import Throttle
from spikecheck.errors import AccessError
from spikecheck.language import _

if TYPE_CHECKING:
    from collections.abc import Mapping

    from spikecheck.access.people import Member, People
    from spikecheck.access.people_file import PeopleFile
    from spikecheck.thresholds.access import AccessThresholds


class Door:
    """What one process knows of who is signed in.

    Parameters
    ----------
    file
        Who is in the team; read anew on every question.
    numbers
        How passwords are kept, guesses slowed down, sign-ins ended.
    sign_ins, throttle
        Taken instead of fresh ones.
    """

    def __init__(
        self,
        file: PeopleFile,
        numbers: AccessThresholds,
        *,
        sign_ins: SignIns | None = None,
        throttle: Throttle | None = None,
    ) -> None:
        self._file = file
        self._numbers = numbers
        self._passwords = Passwords(numbers)
        self._throttle = throttle or Throttle(numbers)
        self._alone = threading.Lock()
        self.sign_ins = sign_ins or SignIns(
            longest_s=numbers.signed_in_s, ticket_s=numbers.ticket_s
        )

    def people(self) -> People | None:
        """Return who may sign in; None where nobody has to.

        Raises
        ------
        AccessError
            If that cannot be told.
        """
        return self._file.read()

    def sign_in(self, name: str, password: str) -> str:
        """Return the token of a new sign-in.

        One try at a time: each fills much memory, and tries that come together are counted.

        Raises
        ------
        AccessError
            If name and password are not those of a person, or one has to wait. It does not tell
            whether there is such a name, nor does the time it takes.
        """
        key = name_key(name[:LONGEST_NAME])
        with self._alone:
            self._throttle.refuse_early(key)
            people = self.people()
            member = None if people is None else people.named(name[:LONGEST_NAME])
            hashed = "" if member is None else member.password
            right = self._passwords.fits(hashed, password)
            self._throttle.count(key, right=right)
            if member is None or not right:
                raise AccessError(
                    _("name and password do not belong together"),
                    cure=_("Try again, or ask a supervisor for a new password"),
                )
            if self._passwords.outdated(hashed):
                member = self._renew(member, password)
        return self.sign_ins.begin(member.name, _credential(member))

    def person(self, token: str) -> Person | None:
        """Return who signed in with a token, as that person is now; None when nobody is.

        Raises
        ------
        AccessError
            If the people file cannot be read.
        """
        signed_in = self.sign_ins.of(token)
        people = None if signed_in is None else self.people()
        member = None if people is None or signed_in is None else people.named(signed_in.name)
        if signed_in is None or member is None or _credential(member) != signed_in.credential:
            return None
        return _person(member)

    def identified(self, claims: Mapping[str, object]) -> Person | None:
        """Return who a verified ID token speaks of; None when it is old, or nobody's of the team.

        Raises
        ------
        AccessError
            If the people file cannot be read.
        """
        people = None if self.is_old(claims) else self.people()
        member = None if people is None else people.identified(claims)
        return None if member is None else _person(member)

    def is_old(self, claims: Mapping[str, object]) -> bool:
        """Return whether an ID token was issued longer ago than a sign-in lasts.

        Its claim ``iat``, seconds since 1970, is required: OpenID Connect Core 1.0, section 2.
        """
        issued = claims.get("iat")
        lasts_s = self._numbers.signed_in_s
        return not isinstance(issued, int | float) or time.time() - issued >= lasts_s

    def _renew(self, member: Member, password: str) -> Member:
        """Keep the hash of the same password anew; as it was, while the file cannot be written."""
        hashed = self._passwords.renewed(password)

        def edit(people: People | None) -> People:
            if people is None or people.named(member.name) != member:
                raise AccessError(_("the people file changed meanwhile"), cure=_("Sign in again"))
            return people.with_changed(member.name, replace(member, password=hashed))

        try:
            return self._file.change(edit).member(member.name)
        except AccessError:
            return member


def _person(member: Member) -> Person:
    return Person(member.name, member.role, signed_in=True)


def _credential(member: Member) -> str:
    return hashlib.sha256(member.password.encode()).hexdigest()
