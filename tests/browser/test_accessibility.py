"""No page hinders people who see, hear or move otherwise: an automated checker looks at each.

The checker is axe-core (Deque Systems), with every rule of WCAG 2.2, levels A and AA, and the rule
of level AAA that text has a contrast of 7:1, which is what sunlight takes. Targets are measured
here: what is tapped is at least 48 CSS pixels high, unless a whole line around it is tapped.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from spikecheck.store import open_store
from spikecheck.supervision import draw_session, session_plan
from tests.audited_session import SESSION, build_session, small_pictures

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from contextlib import AbstractContextManager
    from pathlib import Path

    from playwright.sync_api import Page

    Prepare = Callable[[Page], object]

STANDARD = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]},
    "rules": {"color-contrast-enhanced": {"enabled": True}},
    "resultTypes": ["violations"],
}
GRAVE = {"serious", "critical"}
TARGET_PX = 48
SPIKES = 12


@dataclass(frozen=True)
class Look:
    """One page in one state.

    Parameters
    ----------
    name
        What it is called in a report.
    address
        Path and query of the page.
    prepare
        Taps that lead to the state.
    language
        In which a screen reader is to pronounce it.
    """

    name: str
    address: str
    prepare: Prepare = lambda _tab: None
    language: str = "en"


def opened(*names: str) -> Prepare:
    """Taps on buttons by their names, one after the other."""

    def tap(tab: Page) -> None:
        for name in names:
            tab.get_by_role("button", name=name).first.click()
            at_rest(tab)

    return tap


def chosen(name: str) -> Prepare:
    """A tap on one of several things to choose from."""

    def tap(tab: Page) -> None:
        tab.get_by_role("radio", name=name).click()
        at_rest(tab)
        expect(tab.get_by_role("radio", name=name)).to_be_checked()

    return tap


def folded_out(words: str) -> Prepare:
    """A tap on what folds out under these words."""

    def tap(tab: Page) -> None:
        tab.locator("summary").filter(has_text=words).first.click()
        at_rest(tab)

    return tap


LOOKS = (
    Look("check", "check"),
    Look("agenda", "agenda"),
    Look("spikes", "spikes"),
    Look("one spike", "spikes", opened("Open")),
    Look("sessions", "sessions"),
    Look("a session to be added", "sessions", folded_out("Add a session")),
    Look("audit", "audit"),
    *(
        Look(f"audit, {part.lower()}", "audit", chosen(part))
        for part in ("Gallery", "Second reading", "Charts")
    ),
    Look("practice", "practice"),
    Look("records", "records"),
    Look("checks of a cross", "records", opened("Show its checks")),
    Look("safety and limits", "safety"),
    Look("check, in Spanish", "check?language=es", language="es"),
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
        at_rest(tab)
        look.prepare(tab)
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
            tab.get_by_label("Your name").fill("Ilse")
            tab.get_by_label("Your name").press("Enter")
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


def serious(tab: Page) -> list[str]:
    """What the checker finds that keeps somebody from using the page, a line each."""
    found = Axe().run(tab, options=STANDARD).response["violations"]
    return [
        f"{one['id']} ({one['impact']}): {node['html'][:200]} {node['failureSummary'][:300]}"
        for one in found
        if one["impact"] in GRAVE
        for node in one["nodes"]
    ]


def low_targets(tab: Page, *, inside: str = "[data-testid=stMain]") -> list[str]:
    """What can be tapped and is too low, by its words."""
    low: list[str] = tab.evaluate(
        """([inside, least]) => [...document.querySelectorAll(
            `${inside} :is(button, summary, textarea, a[href], [role=group],
                           [data-testid=stRadioOption], [data-testid=stCheckbox] label,
                           input:not([type=file], [type=radio], [type=checkbox]))`)]
          .filter(one => one.checkVisibility({checkOpacity: true, checkVisibilityCSS: true}))
          .map(one => {
            // A field is tapped anywhere in its frame, a line of a list anywhere on it.
            const frame = one.closest(
              '[role=group], [data-testid=stTextInputRootElement], ' +
              '[data-testid=stNumberInputContainer], [class*="st-key-spike-row-"]') ?? one
            return [frame.getBoundingClientRect().height,
                    one.getAttribute('aria-label') || one.innerText || one.outerHTML.slice(0, 120)]
          })
          .filter(([height]) => height < least - 0.5)
          .map(([height, words]) => `${words}: ${Math.round(height)} px`)""",
        [inside, TARGET_PX],
    )
    return low


def at_rest(tab: Page) -> None:
    """Wait until the page runs no more and shows everything."""
    expect(tab.get_by_test_id("stApp")).to_have_attribute(
        "data-test-script-state", "notRunning", timeout=30_000
    )
    # The last thing on every page.
    expect(tab.locator(".st-key-language")).to_be_visible(timeout=30_000)
    expect(tab.locator("[data-stale=true]")).to_have_count(0, timeout=30_000)
