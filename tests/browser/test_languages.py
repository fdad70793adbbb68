"""The page in the language of the browser, and in the one that is chosen on it."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from spikecheck.store import open_store
from spikecheck.vocabulary import CrossingSession, Step
from spikecheck.vocabulary.steps import Bagged, Emasculated
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable
    from contextlib import AbstractContextManager
    from pathlib import Path

    from playwright.sync_api import Browser, Page

SCREENS = {
    "check": "Comprobar una espiga",
    "agenda": "Agenda",
    "sessions": "Sesiones de cruzamientos",
    "safety": "Seguridad y límites",
}


@pytest.fixture
def records(tmp_path: Path) -> Path:
    """Two spikes that wait for pollen."""
    folder, now = tmp_path / "records", datetime.now(UTC)
    with open_store(str(folder)) as store:
        store.plans.add(planned("C-014", "Ardelle", "Olmo"))
        store.sessions.add(CrossingSession("S-1", now.date(), "Casa 2", ("Ida Berg",)))
        for hours, detail in ((72, Emasculated(20, 60)), (71, Bagged("sin cámara"))):
            at = now - timedelta(hours=hours)
            for spike in (1, 2):
                store.spikes.add("C-014", spike, Step(detail, at, "Ida Berg", "S-1"))
    return folder


@pytest.mark.browser
def test_a_browser_in_spanish_and_a_choice_of_english(
    browser: Browser,
    records: Path,
    serve: Callable[..., AbstractContextManager[str]],
    tmp_path: Path,
    keep_picture: Callable[[Page, str], None],
):
    context = browser.new_context(viewport={"width": 390, "height": 844}, locale="es-AR")
    phone = context.new_page()
    with serve("app", "--store", str(records), home=tmp_path) as address:
        for screen, heading in SCREENS.items():
            phone.goto(f"{address}/{screen}")
            expect(phone.get_by_role("heading", name=heading).first).to_be_visible()
            expect(phone.get_by_text("Español")).to_be_visible()  # it comes last
            expect(phone.locator("html")).to_have_attribute("lang", "es")
            wide = phone.evaluate("document.documentElement.scrollWidth")
            assert wide <= 390, f"{screen} is {wide} px wide"
            keep_picture(phone, f"language_{screen}")
        today = f"{datetime.now().astimezone():%d%m%Y}"
        phone.goto(f"{address}/sessions")
        phone.get_by_text("Añadir una sesión").click()
        typed = phone.get_by_role("group", name="Día")
        expect(typed).to_be_visible()
        digits = "".join(filter(str.isdigit, typed.inner_text()))
        assert digits in {today, f"{datetime.now().astimezone():%d%m%Y}"}  # midnight may pass
        phone.goto(f"{address}/agenda")
        expect(phone.get_by_text("Polinizar con Olmo: desde el ").first).to_be_visible()
        phone.get_by_text("English", exact=True).click()
        expect(phone.get_by_text("Pollinate with Olmo: from ").first).to_be_visible()
        expect(phone).to_have_url(re.compile("[?&]language=en"))
        expect(phone.locator("html")).to_have_attribute("lang", "en")
    context.close()
