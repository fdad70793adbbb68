"""The people file: round trips, who can read it, damage, two writers."""

from __future__ import annotations

import json
import os
import threading
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from spikecheck.access.names import kept_name, name_key
from spikecheck.access.people import Identity, Member, People
from spikecheck.access.people_file import PeopleFile
from spikecheck.access.roles import Role
from spikecheck.errors import AccessError, SpikecheckError, UsageError

HASH = "$argon2id$v=19$m=16,t=1,p=1$YWFhYWFhYWFhYWFhYWFhYQ$YWFhYWFhYWFhYWFhYWFhYQ"


def usable(text: str) -> bool:
    try:
        return kept_name(text) == text
    except UsageError:
        return False


names = st.text(st.characters(codec="utf-8"), min_size=1, max_size=30).filter(usable)
members = st.builds(
    Member,
    names,
    st.sampled_from(Role),
    st.just(HASH),
    st.none() | st.builds(Identity, st.just("https://a.example"), st.text("ab1", min_size=1)),
)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        members,
        max_size=6,
        unique_by=(lambda one: name_key(one.name), lambda one: one.identity or one.name),
    )
)
def test_people_come_back_as_they_were_written(tmp_path, listed):
    file = PeopleFile(tmp_path / "people.json")
    others = [one for one in listed if name_key(one.name) != "ines"]
    people = People((Member("Ines", Role.SUPERVISOR, HASH), *others))
    file.change(lambda _: people)
    assert file.read() == people


def test_only_the_owner_can_read_it(file):
    assert file.path.stat().st_mode & 0o777 == 0o600
    file.path.chmod(0o640)
    with pytest.raises(AccessError, match=r"others on this machine can read it.*chmod 600"):
        file.read()


def test_without_a_file_nobody_signs_in(tmp_path):
    assert PeopleFile(tmp_path / "none.json").read() is None


def test_a_named_file_must_be_there(tmp_path):
    """A mistyped path must not open the page to everybody."""
    with pytest.raises(AccessError, match=r"the people file is not there\. Mend SPIKECHECK_PEOPLE"):
        PeopleFile(tmp_path / "none.json", expected=True).read()


def damaged() -> list[str]:
    """Texts of people files that are not understood, by what is wrong with one entry or all."""
    good = {"name": "A", "role": "supervisor", "password": HASH}
    wrong = [
        {"name": "A", "role": "supervisor"}, {**good, "role": "owner"}, {**good, "name": 1},
        {**good, "password": "plain"}, {**good, "identity": "x"}, {**good, "more": 1},
        {**good, "name": " A "},
    ]  # fmt: skip
    entries = [
        json.dumps({"format": 1, "people": people}) for people in ([], 3, *([w] for w in wrong))
    ]
    return [
        "",
        "{",
        "[]",
        "3",
        "null",
        "\x00\xff",
        json.dumps({"format": 2, "people": [good]}),
        *entries,
    ]


@pytest.mark.parametrize("text", damaged())
def test_damage_is_one_line_and_opens_nothing(tmp_path, text):
    path = tmp_path / "people.json"
    path.write_bytes(text.encode("latin-1"))
    path.chmod(0o600)
    with pytest.raises(AccessError) as told:
        PeopleFile(path).read()
    assert "\n" not in str(told.value)
    assert str(path) in str(told.value)
    with pytest.raises(AccessError):
        PeopleFile(path).change(lambda _: pytest.fail("changed what it could not read"))
    assert path.read_bytes() == text.encode("latin-1")


def test_a_folder_in_its_place_opens_nothing(tmp_path):
    (tmp_path / "people.json").mkdir(mode=0o700)
    with pytest.raises(AccessError, match="cannot be read"):
        PeopleFile(tmp_path / "people.json").read()


def test_a_refused_change_leaves_the_file(file, people):
    before = file.path.read_bytes()
    with pytest.raises(UsageError):
        file.change(lambda now: now.without("Ines Duarte"))
    assert file.path.read_bytes() == before
    assert sorted(one.name for one in file.path.parent.iterdir()) == [
        "people.json", "people.json.lock",
    ]  # fmt: skip


def test_a_file_that_cannot_be_written_is_one_line(tmp_path, people):
    file = PeopleFile(tmp_path / "nowhere" / "people.json")
    with pytest.raises(AccessError, match="cannot be written"):
        file.change(lambda _: people)


def test_a_write_that_fails_leaves_the_old_file_whole(file, people, monkeypatch):
    before = file.path.read_bytes()

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(AccessError, match="No space left on device"):
        file.change(lambda now: now.without("Juna"))
    assert file.path.read_bytes() == before
    assert len(list(file.path.parent.iterdir())) == 2


def test_writers_wait_for_each_other(file):
    """Twelve add somebody at once: nobody gets lost, and readers always find a whole file."""
    stop, odd = threading.Event(), []

    def read() -> None:
        while not stop.is_set():
            try:
                odd.extend([] if file.read() else ["nobody"])
            except SpikecheckError as error:
                odd.append(str(error))

    def add(number: int) -> None:
        PeopleFile(file.path).change(
            lambda now: now.with_added(Member(f"N{number}", Role.TRAINEE, HASH))
        )

    reader = threading.Thread(target=read)
    reader.start()
    writers = [threading.Thread(target=add, args=(number,)) for number in range(12)]
    for one in writers:
        one.start()
    for one in writers:
        one.join()
    stop.set()
    reader.join()
    assert odd == []
    assert {one.name for one in file.read().members} >= {f"N{number}" for number in range(12)}


def test_a_writer_does_not_wait_for_ever(file, monkeypatch):
    monkeypatch.setattr("spikecheck.access.people_file._LONGEST_WAIT_S", 0.1)
    begun = time.monotonic()

    def slow(now: People | None) -> People:
        with pytest.raises(AccessError, match="somebody else is writing"):
            PeopleFile(file.path).change(lambda inner: inner)
        return now

    file.change(slow)
    assert time.monotonic() - begun < 5


def test_what_is_kept_is_plain(file):
    kept = json.loads(Path(file.path).read_text(encoding="utf-8"))
    assert kept["people"][2] == {
        "name": "Juna", "role": "technician",
        "identity": {"issuer": "https://people.example", "email": "juna@example.org"},
    }  # fmt: skip
