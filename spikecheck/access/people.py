"""The people of the team: who they are, what they may do, how each signs in."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from spikecheck.access.names import kept_name, name_key
from spikecheck.access.roles import Role
from spikecheck.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Mapping

_KEEP_ONE = "Make somebody else a supervisor first: spikecheck people change NAME --role supervisor"


@dataclass(frozen=True, slots=True)
class Identity:
    """Who somebody is at an OpenID Connect provider (OpenID Connect Core 1.0, section 5.7).

    Parameters
    ----------
    issuer
        URL of the provider, as in the claim ``iss``.
    subject
        The claim ``sub``, which the provider never gives to anybody else; empty with ``email``.
    email
        A mail address that the provider has verified; empty with ``subject``.

    Raises
    ------
    UsageError
        If the issuer lacks, or not exactly one of subject and mail address is given.
    """

    issuer: str
    subject: str = ""
    email: str = ""

    def __post_init__(self) -> None:
        if not self.issuer or bool(self.subject) == bool(self.email):
            raise UsageError(
                "an OpenID Connect identity needs an issuer, and a subject or a mail address",
                cure="Give --issuer URL with --subject or with --email",
            )

    def fits(self, claims: Mapping[str, object]) -> bool:
        """Return whether the claims of a verified ID token are those of this identity."""
        if claims.get("iss") != self.issuer:
            return False
        if self.subject:
            return claims.get("sub") == self.subject
        told = claims.get("email")
        return (
            claims.get("email_verified") is True
            and isinstance(told, str)
            and told.casefold() == self.email.casefold()
        )


@dataclass(frozen=True, slots=True)
class Member:
    """One person of the team.

    Parameters
    ----------
    name
        As it stands in records.
    role
        What the person may do.
    password
        Argon2id hash of the password; empty without one.
    identity
        Who the person is at an OpenID Connect provider; None without one.

    Raises
    ------
    UsageError
        If the name cannot be one, or the person has no way to sign in.
    """

    name: str
    role: Role
    password: str = ""
    identity: Identity | None = None

    def __post_init__(self) -> None:
        if kept_name(self.name) != self.name:
            raise UsageError("a name is not kept as it was typed", where=self.name,
                             cure="Take out space around it")  # fmt: skip
        if not self.password and self.identity is None:
            raise UsageError(
                "has no way to sign in", where=self.name,
                cure="Give a password or an OpenID Connect identity",
            )  # fmt: skip


@dataclass(frozen=True, slots=True)
class People:
    """Everybody who may sign in, one supervisor or more among them.

    Parameters
    ----------
    members
        The people; names differ by more than capitals, width and joiners.

    Raises
    ------
    UsageError
        If two cannot be told apart, or no supervisor is among them.
    """

    members: tuple[Member, ...]

    def __post_init__(self) -> None:
        keys = [name_key(one.name) for one in self.members]
        twice = next((one for one, key in zip(self.members, keys, strict=True)
                      if keys.count(key) > 1), None)  # fmt: skip
        if twice is not None:
            raise UsageError("somebody of this name is there already", where=twice.name,
                             cure="Give another name")  # fmt: skip
        identities = [one.identity for one in self.members if one.identity is not None]
        if len(set(identities)) < len(identities):
            raise UsageError(
                "two people have the same OpenID Connect identity", cure="Give each their own"
            )
        if all(one.role is not Role.SUPERVISOR for one in self.members):
            raise UsageError("no supervisor would be left", cure=_KEEP_ONE)

    def named(self, name: str) -> Member | None:
        """Return the person of this name, whatever its capitals and width; None without one."""
        key = name_key(name)
        return next((one for one in self.members if name_key(one.name) == key), None)

    def identified(self, claims: Mapping[str, object]) -> Member | None:
        """Return the person of a verified ID token's claims; None when it is nobody's."""
        found = (one for one in self.members
                 if one.identity is not None and one.identity.fits(claims))  # fmt: skip
        return next(found, None)

    def member(self, name: str) -> Member:
        """Return the person of this name.

        Raises
        ------
        UsageError
            If there is none.
        """
        found = self.named(name)
        if found is None:
            raise UsageError(
                "nobody of this name is in the people file", where=name,
                cure="See who is: spikecheck people list",
            )  # fmt: skip
        return found

    def with_added(self, member: Member) -> People:
        """Return these people and one more."""
        return replace(self, members=(*self.members, member))

    def with_changed(self, name: str, member: Member) -> People:
        """Return these people, ``member`` in the place of the one called ``name``."""
        old = self.member(name)
        return replace(self, members=tuple(member if one is old else one for one in self.members))

    def without(self, name: str) -> People:
        """Return these people without the one called ``name``."""
        old = self.member(name)
        return replace(self, members=tuple(one for one in self.members if one is not old))
