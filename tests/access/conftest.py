"""People of a made-up team, hashed with few passes over little memory."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from spikecheck.access.passwords import Passwords
from spikecheck.access.people import Identity, Member, People
from spikecheck.access.people_file import PeopleFile
from spikecheck.access.roles import Role
from spikecheck.thresholds.access import AccessThresholds, load_access
from tests.passwords import PASSWORD

if TYPE_CHECKING:
    from pathlib import Path

ISSUER = "https://people.example"
SHORT_PASSWORD = "lodicule-4"


@pytest.fixture(scope="session")
def quick() -> AccessThresholds:
    """The shipped numbers, but a hash takes no time."""
    return replace(load_access(), memory_kib=16, passes=1, lanes=1)


@pytest.fixture
def people(quick: AccessThresholds) -> People:
    """A supervisor and a trainee with passwords, a technician with an identity."""
    passwords = Passwords(quick)
    # Taken when eight characters were enough.
    earlier = Passwords(replace(quick, password_length_least=8))
    return People(
        (
            Member("Ines Duarte", Role.SUPERVISOR, passwords.hashed(PASSWORD, name="")),
            Member("Tomás", Role.TRAINEE, earlier.hashed(SHORT_PASSWORD, name="")),
            Member("Juna", Role.TECHNICIAN, identity=Identity(ISSUER, email="juna@example.org")),
        )
    )


@pytest.fixture
def file(tmp_path: Path, people: People) -> PeopleFile:
    """Their people file."""
    made = PeopleFile(tmp_path / "people.json")
    made.change(lambda _: people)
    return made
