"""No page hinders people who see, hear or move otherwise: an automated checker looks at each.

The checker is axe-core (Deque Systems), with every rule of WCAG 2.2, levels A and AA, and the rule
of level AAA that text has a contrast of 7:1, which is what sunlight takes. Targets are measured
here: what is tapped is at least 48 CSS pixels high, unless a whole line around it is tapped.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from spikecheck.store import open_store
from spikecheck.supervision import draw_session, read_again, session_plan, waiting_to_be_read
from spikecheck.vocabulary.audit_steps import Leftovers
from tests.audited_session import SESSION, build_session, small_pictures
from tests.browser.axe_checks import low_targets, serious
from tests.browser.resting import at_rest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from contextlib import AbstractContextManager
    from pathlib import Path

    from playwright.sync_api import Page

    Prepare = Callable[[Page], object]

SPIKES, READ = 12, 2


@dataclass(frozen=True)
class Look:
    """One page in one state.

    Parameters
    ----------
    name
        What it is called in a report.
    address
        Path and query of the page.
    shows
        Words that nothing but this state shows.
    prepare
        Taps that lead to the state.
    language
        In which a screen reader is to pronounce it.
    """

    name: str
    address: str
    shows: str
    prepare: Prepare = lambda _tab: None
    language: str = "en"


def opened(name: str) -> Prepare:
    """A tap on the first button of this name."""

    def tap(tab: Page) -> None:
        # Lists to choose from have a button "Open" of their own.
        buttons = tab.get_by_test_id("stButton")
        buttons.get_by_role("button", name=name, exact=True).first.click()

    return tap


def chosen(name: str) -> Prepare:
    """A tap on one of several things to choose from."""
    return lambda tab: tab.get_by_role("radio", name=name).click()


def folded_out(words: str) -> Prepare:
    """A tap on what folds out under these words."""
    return lambda tab: tab.locator("summary").filter(has_text=words).first.click()


def second_reading(tab: Page) -> None:
    """The first spike that somebody may read again, and a name."""
    chosen("Second reading")(tab)
    expect(tab.get_by_text("Give your name above before you read.")).to_be_visible()
    at_rest(tab)
    name = tab.get_by_label("Your name; readings and decisions carry it")
    name.fill("Sup Erior")
    name.press("Enter")


LOOKS = (
    Look("check", "check", "Check a spike"),
    Look("agenda", "agenda", "Agenda"),
    Look("spikes", "spikes", "Spikes"),
    Look("one spike", "spikes", "Record a step", opened("Open")),
    Look("sessions", "sessions", "Crossing sessions"),
    Look("a session to be added", "sessions", "Add this session", folded_out("Add a session")),
    Look("audit", "audit", "Who did what"),
    Look("audit, gallery", "audit", "Next page", chosen("Gallery")),
    Look("audit, sample", "audit", "Drawn on", chosen("Sample")),
    Look("audit, second reading", "audit", "A tap in a photo", second_reading),
    Look("audit, result", "audit", "How far the readers agree", chosen("Result")),
    Look("audit, charts", "audit", "over all sessions", chosen("Charts")),
    Look("practice", "practice", "Practice"),
    Look("records", "records", "Records"),
    Look("checks of a cross", "records", "Checks of a cross", opened("Show its checks")),
    Look("safety and limits", "safety", "Safety and limits"),
    Look("check, in Spanish", "check?language=es", "Comprobar", language="es"),
)


@pytest.fixture(scope="module")
def address(
    serve_whole: Callable[..., AbstractContextManager[str]],
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[str]:
    """The address of a page with a session of checked spikes in its records."""
    home = tmp_path_factory.mktemp("home")
    with open_store(str(home / "records")) as store:
        built = build_session(store, count=SPIKES, faces=1)
        draw_session(store, SESSION, session_plan(len(built.bagged)).plan, by="Sup Erior")
        records = store.spikes.in_session(SESSION)
        for spike in waiting_to_be_read(records, "Sup Erior")[:READ]:
            read_again(store, spike, Leftovers.NONE, by="Sup Erior")
    with serve_whole("app", "--store", str(home / "records"), home=home) as served:
        yield served


@pytest.mark.browser
@pytest.mark.parametrize("width", ["phone", "desk"])
def test_no_page_has_a_serious_finding(
    width: str, address: str, request: pytest.FixtureRequest
):  # fmt: skip
    tab: Page = request.getfixturevalue(width)
    found: dict[str, list[str]] = {}
    for look in LOOKS:
        tab.goto(f"{address}/{look.address}")
        # The last thing on every page.
        expect(tab.locator(".st-key-language")).to_be_visible(timeout=30_000)
        at_rest(tab)
        look.prepare(tab)
        shown = tab.get_by_test_id("stMain").get_by_text(look.shows).first
        expect(shown, look.name).to_be_visible(timeout=30_000)
        at_rest(tab)
        expect(tab.locator("html")).to_have_attribute("lang", look.language)
        found[look.name] = serious(tab)
        if width == "phone":
            found[look.name] += low_targets(tab)
    assert {name: findings for name, findings in found.items() if findings} == {}


@pytest.mark.browser
def test_the_page_where_photos_are_marked(
    serve: Callable[..., AbstractContextManager[str]], tmp_path: Path, phone: Page, desk: Page
):
    photos = tmp_path / "photos"
    photos.mkdir()
    (photos / "spike.jpg").write_bytes(small_pictures(1, 0)[0])
    with serve("label", str(photos), home=tmp_path) as served:
        for tab in (phone, desk):
            tab.goto(served)
            asked = tab.get_by_text("Give your name above before you mark anything.")
            expect(asked).to_be_visible()
            tab.get_by_label("Your name").fill("Ilse")
            tab.get_by_label("Your name").press("Enter")
            expect(asked).to_have_count(0)
            at_rest(tab)
            assert serious(tab) == []


def test_the_checker_finds_what_is_wrong(phone: Page):
    phone.set_content(
        '<main><h1 style="color:#777">Pale</h1><p style="color:#666">Pale</p>'
        '<img src="data:,"><button></button></main>'
    )
    found = "\n".join(serious(phone))
    for rule in ("image-alt", "button-name", "color-contrast-enhanced", "html-has-lang"):
        assert rule in found
    assert len(low_targets(phone, inside="main")) == 1
