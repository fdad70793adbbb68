"""`people`: adding, changing and taking out those who may sign in."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
import time
from pathlib import Path

import pytest

from spikecheck.access.door import Door
from spikecheck.access.people_file import PeopleFile
from spikecheck.access.roles import Role
from spikecheck.thresholds.access import load_access
from tests.passwords import NEW_PASSWORD, PASSWORD


@pytest.fixture
def people(folder):
    """The people file beside the records."""
    return PeopleFile(folder / "records" / "people.json")


@pytest.fixture
def add(run, folder):
    """Add somebody with a password."""

    def added(name, role, password=PASSWORD):
        return run(
            "people", "add", name, "--role", role, "--password-from-input", typed=f"{password}\n"
        )

    return added


def test_the_first_person_is_a_supervisor(add, people):
    done = add("Tomás", "trainee")
    assert done.code == 2
    assert done.err == (
        "spikecheck: the first person has to be a supervisor. "
        "Add one first: spikecheck people add NAME --role supervisor\n"
    )
    done = add("Ines Duarte", "supervisor")
    assert done.out == (
        "Added Ines Duarte · supervisor · password\n"
        f"From now on the page asks to sign in. Who may is kept in {people.path}\n"
    )
    assert add("Tomás", "trainee").out == "Added Tomás · trainee · password\n"
    assert [one.name for one in people.read().members] == ["Ines Duarte", "Tomás"]


def test_the_password_added_lets_in(add, people):
    add("Ines", "supervisor")
    door = Door(people, load_access())
    assert door.person(door.sign_in("Ines", PASSWORD)).role is Role.SUPERVISOR


def test_no_password_is_an_argument_or_shown(run, add, people):
    done = add("Ines", "supervisor")
    assert PASSWORD not in done.out + done.err
    assert PASSWORD not in people.path.read_text("utf-8")
    assert run("people", "add", "Bo", "--role", "trainee", "--password", PASSWORD).code == 2


@pytest.mark.parametrize(
    ("password", "why"),
    [
        (
            "short",
            "has 5 characters. Take 15 to 256: a sentence of a few words is easy to remember",
        ),
        ("", "has 0 characters"),
        ("Ines Duarte Ines", "can be guessed"),
    ],
)
def test_a_poor_password_is_refused(add, people, password, why):
    done = add("Ines Duarte", "supervisor", password)
    assert done.code == 2
    assert why in done.err
    assert people.read() is None


def test_the_least_length_is_told_before_a_password_is_asked_for(run):
    told = f"{load_access().password_length_least} characters or more"
    for command in ("add", "change"):
        shown = run("people", command, "--help").out.replace("│", " ")
        assert told in " ".join(shown.split())
    assert told in (Path(__file__).parents[2] / "README.md").read_text("utf-8")


def test_a_name_is_taken_once(add):
    add("Ines", "supervisor")
    done = add("INES", "trainee")
    assert done.code == 2
    assert "INES: somebody of this name is there already" in done.err


def test_people_are_listed(run, add):
    empty = run("people", "list")
    assert "Nobody signs in" in empty.out
    add("Ines", "supervisor")
    run("people", "add", "Juna", "--role", "technician", "--issuer", "https://people.example",
        "--email", "juna@example.org")  # fmt: skip
    assert run("people", "list").out == (
        "Ines · supervisor · password\n"
        "Juna · technician · juna@example.org at https://people.example\n"
    )


def test_a_role_and_a_password_are_changed(run, add, people):
    add("Ines", "supervisor")
    add("Tomás", "trainee")
    assert run("people", "change", "tomás", "--role", "technician").out == (
        "Changed: Tomás · technician · password\n"
    )
    before = people.read().member("Tomás").password
    done = run("people", "change", "Tomás", "--password-from-input", typed=f"{NEW_PASSWORD}\n")
    assert done.code == 0
    after = people.read().member("Tomás")
    assert after.password != before
    assert after.role is Role.TECHNICIAN
    assert "nothing is to be changed" in run("people", "change", "Tomás").err


def test_the_last_supervisor_stays(run, add, people):
    add("Ines", "supervisor")
    add("Tomás", "trainee")
    for words in (["remove", "Ines"], ["change", "Ines", "--role", "technician"]):
        done = run("people", *words)
        assert done.code == 2
        assert "no supervisor would be left" in done.err
    assert people.read().member("Ines").role is Role.SUPERVISOR
    assert run("people", "remove", "Tomás").out == "Tomás can sign in no more\n"
    assert people.read().named("Tomás") is None


@pytest.mark.parametrize("words", [["remove", "Ilse"], ["change", "Ilse", "--role", "trainee"]])
def test_nobody_of_a_name_is_one_line(run, add, words):
    assert "Ilse: nobody is in the people file yet" in run("people", *words).err
    add("Ines", "supervisor")
    assert "Ilse: nobody of this name is in the people file" in run("people", *words).err


def test_half_an_identity_is_refused(run, add):
    add("Ines", "supervisor")
    done = run("people", "add", "Juna", "--role", "technician", "--email", "juna@example.org")
    assert "needs an issuer, and a subject or a mail address" in done.err


def test_a_named_file_is_used_and_made(run, add, folder, monkeypatch):
    monkeypatch.setenv("SPIKECHECK_PEOPLE", str(folder / "team.json"))
    assert add("Ines", "supervisor").code == 0
    assert (folder / "team.json").stat().st_mode & 0o777 == 0o600


def test_a_damaged_file_is_one_line(run, add, people):
    add("Ines", "supervisor")
    people.path.write_text("{", encoding="utf-8")
    people.path.chmod(0o600)
    done = run("people", "list")
    assert done.code == 2
    assert done.err.count("\n") == 1
    assert "the people file is damaged" in done.err


def test_without_a_terminal_no_password_is_asked_for(run, folder):
    done = run("people", "add", "Ines", "--role", "supervisor")
    assert "there is no terminal to ask for the password at. Give --password-from-input" in done.err


@pytest.mark.parametrize(
    ("typed", "code", "told"),
    [((PASSWORD, PASSWORD), 0, "Added Ines"), ((PASSWORD, "another"), 2, "passwords differ")],
)
def test_at_a_terminal_the_password_is_asked_for_twice_and_not_shown(folder, typed, code, told):
    here, there = pty.openpty()
    main = "from spikecheck.cli import main; main()"
    with subprocess.Popen(
        [sys.executable, "-c", main, "people", "add", "Ines", "--role", "supervisor"],
        stdin=there, stdout=there, stderr=there, start_new_session=True,
    ) as command:  # fmt: skip
        os.close(there)
        shown = ""
        for prompt, password in zip(("not shown): ", "Once more: "), typed, strict=True):
            shown += read_until(here, prompt)
            os.write(here, f"{password}\n".encode())
        shown += read_until(here, "")
        assert command.wait(30) == code
    os.close(here)
    assert told in shown
    assert PASSWORD not in shown


def read_until(terminal: int, words: str) -> str:
    """Read what the terminal shows up to some words, or to its end where none are given."""
    shown, end = "", time.monotonic() + 30
    while time.monotonic() < end and not (words and shown.endswith(words)):
        try:
            read = os.read(terminal, 1000)
        except OSError:
            break  # the command has ended
        if not read:
            break
        shown += read.decode()
    return shown
