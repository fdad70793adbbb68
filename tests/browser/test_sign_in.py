"""Signing in with a real browser: by keyboard on a phone, over reloads, by OpenID Connect."""

from __future__ import annotations

import subprocess
import sys
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from spikecheck.store import open_store
from tests.browser.openid_provider import CLIENT, SECRET, Provider, provider
from tests.browser.resting import PATIENCE_MS, at_rest
from tests.passwords import PASSWORD
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable
    from contextlib import AbstractContextManager

    from playwright.sync_api import Page

    Serve = Callable[..., AbstractContextManager[str]]
    Keep = Callable[[Page, str], None]

TARGET_PX = 48
COOKIE = "spikecheck_signed_in"


def add(records: Path, name: str, role: str, *more: str) -> None:
    """Add a person by the command."""
    program = str(Path(sys.executable).with_name("spikecheck"))
    subprocess.run(
        [program, "people", "add", name, "--role", role, "--store", str(records),
         *(more or ["--password-from-input"])],
        input=f"{PASSWORD}\n", text=True, check=True, capture_output=True,
    )  # fmt: skip


@pytest.fixture
def records(tmp_path: Path) -> Path:
    """Records with one cross, and two people."""
    folder = tmp_path / "records"
    with open_store(str(folder)) as store:
        store.plans.add(planned("C-014", "Ardelle", "Tiefland 3"))
    add(folder, "Ines Duarte", "supervisor")
    add(folder, "Tomás", "trainee")
    return folder


def type_in(tab: Page, name: str, password: str) -> None:
    """Sign in without a pointer, from the name on, once the form is there."""
    tab.get_by_label("Name", exact=True).wait_for()
    at_rest(tab)
    tab.get_by_label("Name", exact=True).focus()
    tab.keyboard.press("ControlOrMeta+A")
    tab.keyboard.type(name)
    tab.keyboard.press("Tab")
    tab.keyboard.type(password)
    tab.keyboard.press("Enter")


def open_menu(tab: Page) -> None:
    tab.get_by_test_id("stPopoverButton").first.wait_for()
    at_rest(tab)
    tab.get_by_test_id("stPopoverButton").first.focus()
    tab.keyboard.press("Enter")
    expect(tab.get_by_role("button", name="Sign out")).to_be_visible()
    at_rest(tab)


def assert_targets(tab: Page) -> None:
    """What is tapped in the menu is large enough; its links need two lines at most."""
    targets = (
        "[data-testid=stPageLink] a, [data-testid=stPopover] button, .st-key-screens-person button"
    )
    boxes = []
    for one in tab.locator(targets).all():
        box = one.bounding_box()
        assert box is not None
        assert box["height"] >= TARGET_PX, one.inner_text()
        boxes.append(box)
    below = [box for box in boxes if box["y"] > TARGET_PX + 16]
    assert all(one["y"] + TARGET_PX <= after["y"] + 1 for one, after in pairwise(below))
    menu = tab.locator(".st-key-screens").bounding_box()
    assert menu is not None
    assert menu["height"] <= 2 * TARGET_PX + 16


@pytest.mark.browser
def test_people_sign_in_stay_in_over_a_reload_and_go(
    phone: Page, records: Path, serve: Serve, tmp_path: Path, keep_picture: Keep
):
    phone.set_viewport_size({"width": 360, "height": 780})
    with serve("app", "--store", str(records), home=tmp_path) as address:
        phone.goto(f"{address}/records")
        expect(phone.get_by_label("Name", exact=True)).to_be_visible()
        expect(phone.get_by_text("C-014")).to_have_count(0)
        for field in ("Name", "Password"):
            box = phone.get_by_label(field, exact=True).bounding_box()
            assert box is not None
            assert box["height"] >= TARGET_PX

        # A wrong password, then the right one, on the page that was asked for.
        type_in(phone, "ines duarte", "another one")
        expect(phone.get_by_role("alert")).to_contain_text("do not belong together")
        keep_picture(phone, "sign_in_1_refused")
        type_in(phone, "ines duarte", PASSWORD)
        expect(phone.get_by_text("C-014: Ardelle / Tiefland 3")).to_be_visible()
        assert phone.url.startswith(f"{address}/records")

        # The cookie comes from the server, and no script of a page can read it.
        (kept,) = wait_for_cookies(phone, 1)
        assert kept["httpOnly"]
        assert kept["sameSite"] == "Strict"
        assert kept["value"] not in phone.evaluate("document.cookie")
        assert kept["value"] not in phone.url
        phone.reload()
        expect(phone.get_by_text("C-014: Ardelle / Tiefland 3")).to_be_visible()
        open_menu(phone)
        expect(phone.get_by_text("Ines Duarte · supervisor")).to_be_visible()
        assert_targets(phone)
        keep_picture(phone, "sign_in_2_menu")

        # Out is out: here, after a reload, and for whoever kept the cookie.
        phone.get_by_role("button", name="Sign out").click()
        expect(phone.get_by_label("Name", exact=True)).to_be_visible()
        wait_for_cookies(phone, 0)
        phone.context.add_cookies([{"name": COOKIE, "value": kept["value"], "url": address}])
        phone.reload()
        expect(phone.get_by_label("Name", exact=True)).to_be_visible()

        # A trainee has two pages; the address of another says why it shows nothing.
        type_in(phone, "Tomás", PASSWORD)
        expect(phone.get_by_text("a trainee may not do this")).to_be_visible()
        expect(phone.get_by_text("C-014")).to_have_count(0)
        expect(phone.get_by_role("link", name="Practice")).to_be_visible()
        for hidden in ("Check", "Agenda", "Audit"):
            expect(phone.get_by_role("link", name=hidden, exact=True)).to_have_count(0)
        keep_picture(phone, "sign_in_3_trainee")


def wait_for_cookies(tab: Page, count: int) -> list[dict[str, object]]:
    """Return the cookies of the sign-in, which come and go just after it and its end."""
    for _ in range(PATIENCE_MS // 100):
        found = [dict(one) for one in tab.context.cookies() if one["name"] == COOKIE]
        if len(found) == count:
            return found
        tab.wait_for_timeout(100)
    pytest.fail(f"{len(found)} cookies, not {count}")


@pytest.mark.browser
def test_an_identity_signs_in_when_it_is_of_the_team(
    desk: Page, records: Path, serve: Serve, tmp_path: Path, keep_picture: Keep
):
    with provider() as issuer:
        add(records, "Juna", "technician", "--issuer", issuer.issuer, "--email", "juna@example.org")
        write_secrets(tmp_path, issuer)
        with serve("app", "--store", str(records), home=tmp_path) as address:
            # Somebody whose address the provider has not verified is told so, and may go.
            issuer.claims = {"sub": "7", "email": "juna@example.org", "email_verified": False}
            desk.goto(address)
            desk.get_by_role("button", name="Sign in with OpenID Connect").click()
            expect(desk.get_by_role("alert")).to_contain_text("Nobody in this team has")
            keep_picture(desk, "sign_in_4_unknown_identity")
            with desk.expect_event("load"):  # the browser is led to the page anew
                desk.get_by_role("button", name="Sign in as somebody else").click()

            issuer.claims = {"sub": "7", "email": "juna@example.org", "email_verified": True}
            desk.get_by_role("button", name="Sign in with OpenID Connect").click()
            expect(desk.get_by_role("link", name="Check", exact=True)).to_be_visible()
            desk.reload()
            open_menu(desk)
            expect(desk.get_by_text("Juna · technician")).to_be_visible()
            expect(desk.get_by_role("link", name="Audit", exact=True)).to_have_count(0)
            with desk.expect_event("load"):
                desk.get_by_role("button", name="Sign out").click()
            expect(desk.get_by_label("Name", exact=True)).to_be_visible()
            desk.reload()
            expect(desk.get_by_label("Name", exact=True)).to_be_visible()


def write_secrets(home: Path, issuer: Provider) -> None:
    """Describe the provider where Streamlit looks; the port of the page is filled in by it."""
    (home / ".streamlit").mkdir()
    (home / ".streamlit" / "secrets.toml").write_text(
        "[auth]\n"
        'redirect_uri = "http://127.0.0.1:{port}/oauth2callback"\n'
        'cookie_secret = "made up for this test alone"\n'
        f'client_id = "{CLIENT}"\nclient_secret = "{SECRET}"\n'
        f'server_metadata_url = "{issuer.issuer}/.well-known/openid-configuration"\n',
        encoding="utf-8",
    )
