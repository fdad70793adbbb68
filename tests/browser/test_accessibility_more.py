"""Nor do the sign-in, a verdict or a session's report hinder anybody, by the same checker."""

from __future__ import annotations

from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import expect

from spikecheck.access.passwords import Passwords
from spikecheck.access.people import Member, People
from spikecheck.access.roles import Role
from spikecheck.language import Language, in_language
from spikecheck.reports import report_files
from spikecheck.store import open_store
from spikecheck.store.people_place import people_file
from spikecheck.supervision import draw_session, read_again, session_plan, waiting_to_be_read
from spikecheck.thresholds.access import load_access
from spikecheck.vocabulary.audit_steps import Leftovers
from tests.audited_session import SESSION, build_session
from tests.browser.axe_checks import low_targets, serious
from tests.browser.bench import Technician, season
from tests.browser.resting import at_rest

if TYPE_CHECKING:
    from collections.abc import Callable
    from contextlib import AbstractContextManager
    from pathlib import Path

    from playwright.sync_api import Page, ViewportSize

NAME, PASSWORD = "Juna", "palea awn glume"
CLEAN, LEFTOVER = 4, 5
SPIKES = {CLEAN: "clean_00551", LEFTOVER: "leftover_yellow_00524"}
PHONE_PX: ViewportSize = {"width": 390, "height": 844}
DESK_PX: ViewportSize = {"width": 1280, "height": 900}


def looked_at(tab: Page) -> list[str]:
    """What is wrong with this state of a page, as wide as a desk's screen and as a phone."""
    found = []
    for size in (DESK_PX, PHONE_PX):
        tab.set_viewport_size(size)
        at_rest(tab)
        wrong = serious(tab) + (low_targets(tab) if size is PHONE_PX else [])
        found += [f"{size['width']} px: {one}" for one in wrong]
    return found


@pytest.mark.browser
def test_sign_in_and_verdicts_have_no_serious_finding(
    phone: Page, tmp_path: Path, serve: Callable[..., AbstractContextManager[str]]
):
    records = tmp_path / "records"
    photos = season(records, tmp_path, spikes=SPIKES)
    hashed = Passwords(load_access()).hashed(PASSWORD, name=NAME)
    people_file(str(records)).change(lambda _: People((Member(NAME, Role.SUPERVISOR, hashed),)))
    found: dict[str, list[str]] = {}

    def look(state: str) -> None:
        found[state] = looked_at(phone)

    with serve("app", "--store", str(records), home=tmp_path) as address:
        phone.goto(f"{address}/check")
        name, password = (phone.get_by_label(one, exact=True) for one in ("Name", "Password"))
        expect(password).to_be_visible()
        look("sign-in")
        name.fill(NAME)
        password.fill("another one")
        password.press("Enter")
        expect(phone.get_by_role("alert")).to_contain_text("do not belong together")
        look("sign-in refused")
        password.fill(PASSWORD)
        password.press("Enter")
        juna = Technician(phone)
        expect(phone.get_by_text("Take or choose a photo")).to_be_attached()
        juna.rest()
        juna.photo(photos[CLEAN])
        juna.verdict("PASS")
        look("pass")
        juna.tap("Record this check")
        expect(phone.get_by_text("Recorded as check 1")).to_be_visible()
        look("recorded")
        juna.tap("Leave this spike, go to the next")
        expect(phone.get_by_text("Take or choose a photo")).to_be_attached()
        juna.rest()
        juna.photo(photos[LEFTOVER])
        juna.verdict("REVIEW")
        expect(phone.get_by_alt_text("Close view: ").first).to_be_visible()
        look("review")
    assert {state: findings for state, findings in found.items() if findings} == {}


@pytest.mark.browser
@pytest.mark.parametrize("language", [None, Language.SPANISH])
def test_the_report_of_a_session_has_no_serious_finding(
    phone: Page, tmp_path: Path, language: Language | None
):
    with open_store(str(tmp_path / "records")) as store:
        built = build_session(store, count=8, faces=1)
        draw_session(store, SESSION, session_plan(len(built.bagged)).plan, by="Sup Erior")
        (spike, *_) = waiting_to_be_read(store.spikes.in_session(SESSION), "Sup Erior")
        read_again(store, spike, Leftovers.NONE, by="Sup Erior")
        with in_language(language):
            made = report_files(store, SESSION, by="Sup Erior", zone=ZoneInfo("Europe/Rome"))
    phone.set_content(made.html.decode())
    expect(phone.locator("html")).to_have_attribute("lang", "en" if language is None else "es")
    expect(phone.locator("svg").first).to_be_visible()
    expect(phone.locator("main img").first).to_be_visible()
    for folded in phone.locator("summary").all():
        folded.click()
    found = []
    for size in (DESK_PX, PHONE_PX):
        phone.set_viewport_size(size)
        found += serious(phone)
    assert found + low_targets(phone, inside="body") == []
