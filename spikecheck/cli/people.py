"""`spikecheck people`: who may sign in to the page, and as what."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.access.roles import Role
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from spikecheck.access.people import Identity, Member, People

EXAMPLES = 'Example: spikecheck people add "Ines Duarte" --role supervisor'

_Name = Annotated[
    str, typer.Argument(metavar="NAME", help="As it is to stand in records.", show_default=False)
]
_FromInput = Annotated[
    bool,
    typer.Option(
        "--password-from-input",
        help="Take the password from the first line of standard input, for scripts.",
    ),
]
_Issuer = Annotated[
    str, typer.Option(metavar="URL", help="OpenID Connect provider, instead of a password.")
]
_Subject = Annotated[
    str, typer.Option(metavar="TEXT", help="The person's subject (sub) at the provider.")
]
_Email = Annotated[
    str, typer.Option(metavar="ADDRESS", help="Or a mail address that the provider verified.")
]

commands = typer.Typer(no_args_is_help=True, help="Say who may sign in to the page, and as what.")


@commands.command("add", epilog='Example: spikecheck people add "Ines Duarte" --role supervisor')
def add(
    name: _Name,
    role: Annotated[Role, typer.Option(help="What the person may do.", show_default=False)],
    password_from_input: _FromInput = False,
    issuer: _Issuer = "",
    subject: _Subject = "",
    email: _Email = "",
    store: StoreOption = None,
) -> None:
    """Add a person, with a password of 15 characters or more; from then on the page asks for it."""
    from spikecheck.access.names import kept_name
    from spikecheck.access.people import Member, People
    from spikecheck.store.people_place import people_file

    kept = kept_name(name)
    file = people_file(store)
    _refuse_taken(file.read_if_there(), kept, role)
    identity = _identity(issuer, subject, email)
    password = "" if identity and not password_from_input else _hash(kept, password_from_input)
    member = Member(kept, role, password, identity)
    first = False

    def edit(people: People | None) -> People:
        nonlocal first
        first = people is None
        return People((member,)) if people is None else people.with_added(member)

    file.change(edit)
    _tell(f"Added {_told(member)}")
    if first:
        _tell(f"From now on the page asks to sign in. Who may is kept in {file.path}")


@commands.command("list", epilog="Example: spikecheck people list")
def list_people(store: StoreOption = None) -> None:
    """List who may sign in, and as what."""
    from spikecheck.store.people_place import people_file

    people = people_file(store).read()
    if people is None:
        _tell("Nobody signs in: the page is served to this machine alone, and asks for no password")
        _tell("To change that: spikecheck people add NAME --role supervisor")
        return
    for member in people.members:
        _tell(_told(member))


@commands.command("change", epilog="Example: spikecheck people change Juna --role technician")
def change(
    name: _Name,
    role: Annotated[
        Role | None, typer.Option(help="What the person may do from now on.", show_default=False)
    ] = None,
    password: Annotated[
        bool, typer.Option("--password", help="Ask for a new password, 15 characters or more.")
    ] = False,
    password_from_input: _FromInput = False,
    issuer: _Issuer = "",
    subject: _Subject = "",
    email: _Email = "",
    store: StoreOption = None,
) -> None:
    """Change a person's role, password or identity; it counts from the next tap on the page."""
    from dataclasses import replace

    from spikecheck.errors import UsageError
    from spikecheck.store.people_place import people_file

    identity = _identity(issuer, subject, email)
    if role is None and identity is None and not (password or password_from_input):
        raise UsageError("nothing is to be changed", cure="Give --role, --password or --issuer")
    file = people_file(store)
    kept = _there(file.read_if_there(), name).member(name).name
    hashed = _hash(kept, password_from_input) if password or password_from_input else ""

    def edit(people: People | None) -> People:
        old = _there(people, name).member(name)
        new = replace(
            old, role=role or old.role, password=hashed or old.password,
            identity=identity or old.identity,
        )  # fmt: skip
        return _there(people, name).with_changed(name, new)

    _tell(f"Changed: {_told(file.change(edit).member(name))}")


@commands.command("remove", epilog="Example: spikecheck people remove Juna")
def remove(name: _Name, store: StoreOption = None) -> None:
    """Take a person out: signed out at once; what is recorded under the name stays."""
    from spikecheck.store.people_place import people_file

    people_file(store).change(lambda people: _there(people, name).without(name))
    _tell(f"{name} can sign in no more")


def _refuse_taken(people: People | None, name: str, role: Role) -> None:
    """Refuse before a password is asked for what would be refused after it."""
    from spikecheck.errors import UsageError

    if people is None and role is not Role.SUPERVISOR:
        raise UsageError(
            "the first person has to be a supervisor",
            cure="Add one first: spikecheck people add NAME --role supervisor",
        )
    if people is not None and people.named(name) is not None:
        raise UsageError(
            "somebody of this name is there already", where=name,
            cure="Give another name, or change that person: spikecheck people change",
        )  # fmt: skip


def _there(people: People | None, name: str) -> People:
    from spikecheck.errors import UsageError

    if people is None:
        raise UsageError(
            "nobody is in the people file yet", where=name,
            cure="Add somebody: spikecheck people add NAME --role supervisor",
        )  # fmt: skip
    return people


def _identity(issuer: str, subject: str, email: str) -> Identity | None:
    from spikecheck.access.people import Identity

    return Identity(issuer, subject, email) if issuer or subject or email else None


def _hash(name: str, from_input: bool) -> str:
    """Return the hash of a password that is asked for twice, or read from standard input."""
    from spikecheck.access.passwords import Passwords
    from spikecheck.thresholds.access import load_access

    numbers = load_access()
    typed = _read_password() if from_input else _ask_password(name, numbers.password_length_least)
    return Passwords(numbers).hashed(typed, name=name)


def _read_password() -> str:
    import sys

    return sys.stdin.readline().rstrip("\r\n")


def _ask_password(name: str, least: int) -> str:
    import sys
    from getpass import getpass

    from spikecheck.errors import UsageError

    if not sys.stdin.isatty():
        raise UsageError(
            "there is no terminal to ask for the password at",
            cure="Give --password-from-input and send the password to standard input",
        )
    typed = getpass(f"Password of {name} ({int(least)} characters or more, not shown): ")
    if getpass("Once more: ") != typed:
        raise UsageError("the two passwords differ", cure="Try again; nothing was changed")
    return typed


def _told(member: Member) -> str:
    ways = ["password"] if member.password else []
    if member.identity is not None:
        who = member.identity.email or member.identity.subject
        ways.append(f"{who} at {member.identity.issuer}")
    return f"{member.name} · {member.role} · {', '.join(ways)}"


def _tell(text: str) -> None:
    from spikecheck.cli.console import printable, say

    say(printable(text))
