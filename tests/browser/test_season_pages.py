"""The season on a phone: from the agenda to a spike, a step recorded, the agenda changed."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from spikecheck.store import open_store
from spikecheck.vocabulary import CrossingSession, Step, StepKind
from spikecheck.vocabulary.steps import Bagged, Emasculated
from tests.browser.resting import at_rest
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable
    from contextlib import AbstractContextManager
    from pathlib import Path

    from playwright.sync_api import Page

NASTY = "*Olmo* <b>3</b> $x$"
SCREENS = {"Agenda": "Agenda", "Spikes": "Spikes", "Sessions": "Crossing sessions"}


@pytest.fixture
def records(tmp_path: Path) -> Path:
    """Two spikes that wait for pollen."""
    folder, now = tmp_path / "records", datetime.now(UTC)
    with open_store(str(folder)) as store:
        store.plans.add(planned("C-014", "Ardelle", NASTY))
        store.sessions.add(CrossingSession("S-1", now.date(), "House 2", ("Ida Berg",)))
        for hours, detail in ((72, Emasculated(20, 60)), (71, Bagged("no camera"))):
            at = now - timedelta(hours=hours)
            for spike in (1, 2):
                store.spikes.add("C-014", spike, Step(detail, at, "Ida Berg", "S-1"))
    return folder


@pytest.mark.browser
def test_a_step_recorded_on_a_phone_changes_the_agenda(  # noqa: PLR0917  (fixtures)
    phone: Page,
    desk: Page,
    records: Path,
    serve: Callable[..., AbstractContextManager[str]],
    tmp_path: Path,
    keep_picture: Callable[[Page, str], None],
    go_to: Callable[[Page, str], None],
):
    with serve("app", "--store", str(records), home=tmp_path) as address:
        phone.goto(address)
        go_to(phone, "Agenda")
        expect(phone.get_by_text("C-014: spikes 1\N{EN DASH}2")).to_be_visible()
        expect(phone.get_by_text(f"Pollinate with {NASTY}: from ")).to_be_visible()
        keep_and_measure(phone, "season_1_agenda", keep_picture)
        with phone.expect_download() as calendar:
            phone.get_by_role("button", name="Calendar file of all this").click()
        assert b"BEGIN:VEVENT" in calendar.value.path().read_bytes()

        # To one of its spikes; a double click records once.
        phone.get_by_role("button", name="Go to these spikes").click()
        expect(phone.get_by_role("button", name="Open")).to_have_count(2)
        keep_and_measure(phone, "season_1b_list", keep_picture)
        # A tap anywhere on the line reaches its button, which lies over the words.
        phone.get_by_text("C-014/1", exact=True).click(force=True)
        expect(phone.get_by_role("heading", name="Spike C-014/1")).to_be_visible()
        phone.get_by_label("Who did it").fill("Bo Holm")
        keep_and_measure(phone, "season_2_spike", keep_picture)
        phone.get_by_role("button", name="Record this step").dblclick()
        expect(phone.get_by_text("Recorded. C-014/1: pollinated")).to_be_visible()
        expect(phone.get_by_text("Next: Put the bag back on.")).to_be_visible()
        at_rest(phone)
        expect(phone.get_by_role("alert")).to_have_count(0)
        keep_and_measure(phone, "season_3_recorded", keep_picture)
        with open_store(str(records)) as store:
            kinds = [one.kind for one in store.spikes.entries("C-014", 1)]
        assert kinds == [StepKind.EMASCULATED, StepKind.BAGGED, StepKind.POLLINATED]

        go_to(phone, "Agenda")
        expect(phone.get_by_text("C-014: spike 2")).to_be_visible()  # nowhere but here
        at_rest(phone)
        expect(phone.get_by_text("Put the bag back on.")).to_be_visible()

        # The way to the check is filled in, also when the screen was seen before.
        phone.get_by_role("button", name="Go to this spike").last.click()
        phone.get_by_role("button", name="Take photos and check this spike").click()
        expect(phone.get_by_label("Cross (female / male)")).to_have_value(
            f"C-014: Ardelle / {NASTY}"
        )

        # Every screen fits a desk's screen too.
        desk.goto(address)
        for screen, heading in SCREENS.items():
            go_to(desk, screen)
            expect(desk.get_by_role("heading", name=heading, exact=True)).to_be_visible()
            keep_and_measure(desk, f"season_desk_{screen}", keep_picture)


def keep_and_measure(tab: Page, name: str, keep_picture: Callable[[Page, str], None]) -> None:
    """Keep a picture; nothing makes the page wider than the screen."""
    at_rest(tab)
    keep_picture(tab, name)
    assert tab.evaluate(
        "(main => main.scrollWidth <= main.clientWidth)"
        "(document.querySelector('[data-testid=stMain]'))"
    )
