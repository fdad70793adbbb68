"""The people file: read on every action, written whole or not at all, by one writer at a time."""

from __future__ import annotations

import json
import os
import tempfile
import time
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from spikecheck.access.passwords import is_hash
from spikecheck.access.people import Identity, Member, People
from spikecheck.access.roles import Role
from spikecheck.errors import AccessError, UsageError
from spikecheck.file_lock import try_lock
from spikecheck.language import _

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

PEOPLE_VARIABLE = "SPIKECHECK_PEOPLE"
PEOPLE_NAME = "people.json"

_FORMAT = 1
_OTHERS = 0o077
_LONGEST_WAIT_S = 10.0
_ENTRIES = {"name", "role", "password", "identity"}


@dataclass(frozen=True, slots=True)
class PeopleFile:
    """Who is in the team, in a file that only its owner can read.

    Parameters
    ----------
    path
        The file. Where it lacks, nobody signs in.
    expected
        Whether somebody named this file, so that it must be there to be read: a mistyped path
        must not open the page to everybody.
    """

    path: Path
    expected: bool = False

    def read(self) -> People | None:
        """Return the people as they are now; None where there is no such file.

        Raises
        ------
        AccessError
            If the file cannot be read, can be read by others, or is not understood; or if it is
            expected and lacks.
        """
        people = self.read_if_there()
        if people is None and self.expected:
            raise AccessError(
                _("the people file is not there"), where=str(self.path),
                cure=_("Mend {variable}, or add a person: spikecheck people add").format(
                    variable=PEOPLE_VARIABLE
                ),
            )  # fmt: skip
        return people

    def change(self, edit: Callable[[People | None], People]) -> People:
        """Change the people while nobody else does; return them as they are then.

        Parameters
        ----------
        edit
            Gets the people as they are, None where there is no file yet; returns them changed.

        Raises
        ------
        AccessError
            If the file cannot be read or written, or somebody else keeps writing it.
        UsageError
            If ``edit`` refuses.
        """
        with self._alone():
            people = edit(self.read_if_there())
            self._write(people)
            return people

    def read_if_there(self) -> People | None:
        """Return the people as they are now; None where there is no file, expected or not.

        Raises
        ------
        AccessError
            If the file cannot be read, can be read by others, or is not understood.
        """
        try:
            if os.name != "nt" and self.path.stat().st_mode & _OTHERS:
                raise AccessError(
                    _("others on this machine can read it, and it holds hashes of passwords"),
                    where=str(self.path),
                    cure=_("Take that from them: chmod 600, then let everybody change theirs"),
                )
            text = self.path.read_text(encoding="utf-8")
        except FileNotFoundError:
            return None
        except (OSError, UnicodeDecodeError) as error:
            raise AccessError(
                _("the people file cannot be read"), where=str(self.path),
                cure=_("Bring back a copy of it, or mend who may read it"),
            ) from error  # fmt: skip
        try:
            return _people(json.loads(text))
        except (ValueError, TypeError, KeyError, AttributeError, UsageError) as error:
            raise AccessError(
                _("the people file is damaged"), where=str(self.path),
                cure=_("Bring back a copy of it, or move it away and add the people again"),
            ) from error  # fmt: skip

    def _write(self, people: People) -> None:
        temporary: str | None = None
        try:
            # Made with mode 600, so that no other user can open it at any moment.
            handle, temporary = tempfile.mkstemp(dir=self.path.parent, prefix=f".{self.path.name}.")
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                json.dump(_record(people), file, ensure_ascii=False, indent=1)
                file.flush()
                os.fsync(file.fileno())
            Path(temporary).replace(self.path)
        except OSError as error:
            if temporary is not None:
                Path(temporary).unlink(missing_ok=True)
            raise self._unwritable(error) from error

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """Keep other writers out, in this process and in others; readers are not kept waiting."""
        lock = self.path.with_name(f"{self.path.name}.lock")
        try:
            file = os.fdopen(os.open(lock, os.O_RDWR | os.O_CREAT, 0o600), "rb+")
        except OSError as error:
            raise self._unwritable(error) from error
        with file:
            end = time.monotonic() + _LONGEST_WAIT_S
            while not try_lock(file):
                if time.monotonic() > end:
                    raise AccessError(
                        _("somebody else is writing the people file"), where=str(self.path),
                        cure=_("Try again when the other command has ended"),
                    )  # fmt: skip
                time.sleep(0.02)
            yield

    def _unwritable(self, error: OSError) -> AccessError:
        return AccessError(
            _("the people file cannot be written ({why})").format(why=error.strerror),
            where=str(self.path),
            cure=_("Make its folder, or name another file in {variable}").format(
                variable=PEOPLE_VARIABLE
            ),
        )


def _record(people: People) -> dict[str, object]:
    return {"format": _FORMAT, "people": [_entry(one) for one in people.members]}


def _entry(member: Member) -> dict[str, object]:
    entry: dict[str, object] = {"name": member.name, "role": member.role.value}
    if member.password:
        entry["password"] = member.password
    if member.identity is not None:
        told = {"issuer": member.identity.issuer, "subject": member.identity.subject,
                "email": member.identity.email}  # fmt: skip
        entry["identity"] = {name: value for name, value in told.items() if value}
    return entry


def _people(record: Any) -> People:  # noqa: ANN401  (as it stands in the file)
    if set(record) != {"format", "people"} or record["format"] != _FORMAT:
        raise ValueError("another format")
    return People(tuple(_member(entry) for entry in record["people"]))


def _member(entry: Any) -> Member:  # noqa: ANN401  (as it stands in the file)
    password, identity = entry.get("password", ""), entry.get("identity")
    texts = [entry["name"], password, *(identity.values() if identity else ())]
    if set(entry) - _ENTRIES or not all(isinstance(text, str) for text in texts):
        raise ValueError("another entry")
    if password and not is_hash(password):
        raise ValueError("no hash")
    return Member(
        entry["name"], Role(entry["role"]), password,
        Identity(**identity) if identity is not None else None,
    )  # fmt: skip
