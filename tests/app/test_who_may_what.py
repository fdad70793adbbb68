"""Who may do what: signing in, pages and actions by role, nothing of one person for another."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import select
from streamlit import config
from streamlit.testing.v1 import AppTest

from spikecheck.access.passwords import Passwords
from spikecheck.access.people import Member, People
from spikecheck.access.people_file import PeopleFile
from spikecheck.access.roles import Role
from spikecheck.bundled import bundled_folder
from spikecheck.store.season_tables import entries
from spikecheck.thresholds.access import load_access
from tests.passwords import NEW_PASSWORD, PASSWORD
from tests.plans import planned
from visitor import Visitor
from who import served_here_only

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.store import Store

RECORDS = ["check", "agenda", "spikes", "sessions", "records"]
PAGES = [*RECORDS, "audit", "practice", "safety"]
REFUSED = "may not do this. Ask a supervisor"


@pytest.fixture
def people(tmp_path: Path, store: Store) -> PeopleFile:
    """Three people beside the records, one of each role, all with one password."""
    quick = Passwords(replace(load_access(), memory_kib=16, passes=1, lanes=1))
    hashed = quick.hashed(PASSWORD, name="")
    names = {"Ines": Role.SUPERVISOR, "Juna": Role.TECHNICIAN, "Tomás": Role.TRAINEE}
    file = PeopleFile(tmp_path / "people.json")
    file.change(lambda _: People(tuple(Member(name, role, hashed) for name, role in names.items())))
    return file


@pytest.fixture
def tab(people: PeopleFile, store: Store) -> Visitor:
    """A tab in front of the sign-in page, with one cross in the records."""
    store.plans.add(planned("SPICA-7", "Morgenrot", "Tiefland 3"))
    return open_tab()


def open_tab() -> Visitor:
    page = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60)
    return Visitor(page.run())


def sign_in(tab: Visitor, name: str, password: str = PASSWORD) -> Visitor:
    tab.page.text_input("sign-in-name").set_value(name)
    tab.page.text_input("sign-in-password").set_value(password)
    tab.press("Sign in")
    return tab


def lower(people: PeopleFile, name: str, role: Role) -> None:
    people.change(
        lambda now: now.with_changed(name, replace(now.member(name), role=role))  # type: ignore[union-attr]
    )


def links(tab: Visitor) -> list[str]:
    """The pages that the menu leads to."""
    menu = {one.proto.page for one in tab.page.get("page_link")}
    return [page for page in PAGES if page in menu]


def test_without_people_nobody_signs_in(store: Store):
    tab = open_tab()
    assert "Sign in" not in tab.labels()
    assert "Sign out" not in tab.labels()
    assert links(tab) == PAGES


@pytest.fixture
def serve_at() -> Iterator[Callable[[str | None], None]]:
    """Set the address that the server listens on, and set it back in the end."""
    before = config.get_option("server.address")
    yield lambda address: config.set_option("server.address", address)
    config.set_option("server.address", before)


def test_beyond_this_machine_nothing_is_shown_without_people(
    store: Store, serve_at: Callable[[str | None], None]
):
    """Also when somebody starts the server by hand, with another address or none."""
    tab = open_tab()
    for address in ("0.0.0.0", None, "192.0.2.7", "::", "field-laptop"):
        serve_at(address)
        for page in PAGES if address is None else ["check"]:
            tab.go_to(page)
            assert "nobody can sign in yet" in tab.said()
            assert links(tab) == []
            assert tab.labels() == []


def test_this_machine_is_known_by_its_addresses(serve_at: Callable[[str | None], None]):
    for address in ("127.0.0.1", "127.8.0.1", "::1", "localhost"):
        serve_at(address)
        assert served_here_only(), address


def test_every_page_asks_to_sign_in_first(tab: Visitor):
    for page in PAGES:
        tab.go_to(page)
        assert tab.labels() == ["Sign in"]
        assert links(tab) == []
        assert "SPICA-7" not in str(tab.page.main)


def test_a_wrong_password_is_one_line_that_does_not_tell_who_exists(tab: Visitor):
    told = []
    for name in ("Ines", "Nobody"):
        sign_in(tab, name, "another one")
        told.append(next(line for line in tab.said().splitlines() if "belong together" in line))
        assert tab.page.text_input("sign-in-password").value == ""
    assert told[0] == told[1]
    sign_in(tab, "INES")
    assert "Ines · supervisor" in tab.said()
    assert "belong together" not in tab.said()


@pytest.mark.parametrize(
    ("name", "open_to"),
    [
        ("Tomás", ["practice", "safety"]),
        ("Juna", [page for page in PAGES if page != "audit"]),
        ("Ines", PAGES),
    ],
)
def test_a_role_opens_its_pages_and_no_other(tab: Visitor, name: str, open_to: list[str]):
    sign_in(tab, name)
    assert links(tab) == open_to
    for page in PAGES:
        tab.go_to(page)
        assert (REFUSED in tab.said()) is (page not in open_to), page
        assert "Sign in" not in tab.labels()


def test_a_page_that_is_refused_shows_nothing_of_the_records(tab: Visitor):
    sign_in(tab, "Tomás")
    for page in [*RECORDS, "audit"]:
        tab.go_to(page)
        assert tab.labels() == ["Sign out"]
        assert "SPICA-7" not in str(tab.page.main)


def fill_session(tab: Visitor) -> None:
    tab.go_to("sessions")
    tab.page.text_input("new-session-id").set_value("S-1")


def test_a_lowered_role_counts_at_the_next_tap(tab: Visitor, people: PeopleFile, store: Store):
    """The button is on the page still, as it would be in a message made up by hand."""
    sign_in(tab, "Juna")
    fill_session(tab)
    lower(people, "Juna", Role.TRAINEE)
    tab.press("Add this session")
    assert store.sessions.all() == ()
    assert "a trainee may not do this" in tab.said()
    assert links(tab) == ["practice", "safety"]
    lower(people, "Juna", Role.TECHNICIAN)
    fill_session(tab)
    tab.press("Add this session")
    assert [one.id for one in store.sessions.all()] == ["S-1"]
    assert REFUSED not in tab.said()


def test_who_is_taken_out_is_out_at_the_next_tap(tab: Visitor, people: PeopleFile, store: Store):
    sign_in(tab, "Juna")
    fill_session(tab)
    people.change(lambda now: now.without("Juna"))  # type: ignore[union-attr]
    tab.press("Add this session")
    assert store.sessions.all() == ()
    assert "you are not signed in" in tab.said()
    assert tab.labels() == ["Sign in"]


def test_what_is_recorded_carries_the_name_that_signed_in(tab: Visitor, store: Store):
    """Whatever the browser sends: the server knows who it is."""
    sign_in(tab, "juna")
    tab.go_to("spikes")
    tab.page.text_input("spike-name").set_value("SPICA-7/1")
    tab.press("Open this spike")
    assert "Recorded as Juna" in tab.said()
    tab.page.selectbox[0].set_value("selected").run()
    assert not [one.key for one in tab.page.text_input if str(one.key).startswith("by")]
    tab.page.session_state["visit"].by = "Ines"
    tab.press("Record this step")
    (entry,) = store.spikes.entries("SPICA-7", 1)
    assert entry.step is not None
    assert entry.step.by == "Juna"


def test_nothing_of_one_person_is_left_for_the_next(tab: Visitor):
    sign_in(tab, "Juna")
    tab.go_to("spikes")
    tab.page.session_state["visit"].cross = "SPICA-7"
    tab.page.text_input("spike-name").set_value("SPICA-7/3")
    tab.press("Open this spike")
    assert "SPICA-7/3" in tab.said()
    tab.press("Sign out")
    assert tab.labels() == ["Sign in"]
    assert "visit" not in tab.page.session_state
    sign_in(tab, "Ines")
    visit = tab.page.session_state["visit"]
    assert (visit.by, visit.cross, visit.opened) == ("Ines", None, None)


def test_another_person_in_a_tab_that_ran_out_begins_empty(tab: Visitor, people: PeopleFile):
    sign_in(tab, "Juna")
    tab.page.session_state["visit"].cross = "SPICA-7"
    people.change(lambda now: now.without("Juna"))  # type: ignore[union-attr]
    tab.page.run()
    sign_in(tab, "Ines")
    assert tab.page.session_state["visit"].cross is None


def test_the_same_person_goes_on_after_signing_in_again(tab: Visitor, people: PeopleFile):
    sign_in(tab, "Juna")
    tab.page.session_state["visit"].cross = "SPICA-7"
    quick = Passwords(replace(load_access(), memory_kib=16, passes=1, lanes=1))
    hashed = quick.hashed(NEW_PASSWORD, name="")
    people.change(
        lambda now: now.with_changed("Juna", replace(now.member("Juna"), password=hashed))  # type: ignore[union-attr]
    )
    tab.page.run()
    assert tab.labels() == ["Sign in"]
    sign_in(tab, "Juna", NEW_PASSWORD)
    assert tab.page.session_state["visit"].cross == "SPICA-7"


def test_a_cross_added_on_the_page_names_who_added_it(tab: Visitor, store: Store):
    sign_in(tab, "Juna")
    tab.add_cross(id="SPICA-8", female="Morgenrot", male="Tiefland 4")
    assert store.cross("SPICA-8").male == "Tiefland 4"
    newest = select(entries.c.body).order_by(entries.c.number.desc()).limit(1)
    with store._database.reading() as connection:
        body = connection.execute(newest).scalar_one()
    assert '"kind":"cross_planned"' in body
    assert '"recorded_by":"Juna"' in body


def test_two_tabs_share_nothing(tab: Visitor):
    sign_in(tab, "Juna")
    assert open_tab().labels() == ["Sign in"]


def test_a_damaged_people_file_opens_nothing(tab: Visitor, people: PeopleFile):
    sign_in(tab, "Ines")
    people.path.write_text("{", encoding="utf-8")
    for page in PAGES:
        tab.go_to(page)
        assert "the people file is damaged" in tab.said()
        assert str(people.path.parent) not in tab.said()  # nobody's business before signing in
        assert links(tab) == []
        assert tab.labels() == []
