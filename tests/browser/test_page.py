"""The whole work on a phone: add a cross, upload, see the verdict, record, decide, look it up."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from spikecheck.imaging.encoding import encode_jpeg
from spikecheck.synthetic.image import make_image
from tests.browser.resting import at_rest

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Page

NASTY = "*Morgenrot* :red[x] <b>3</b>"
"""Markup in a name: the page has to show it as it is."""


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    """A drawn spike with an anther left in it."""
    path = tmp_path / "leftover.jpg"
    path.write_bytes(encode_jpeg(make_image("leftover_yellow", seed=1).pixels))
    return path


@pytest.mark.browser
def test_a_spike_is_checked_recorded_and_decided_on_a_phone(  # noqa: PLR0917  (fixtures)
    phone: Page,
    page_address: str,
    photo: Path,
    tmp_path: Path,
    keep_picture: Callable[[Page, str], None],
    go_to: Callable[[Page, str], None],
):
    phone.goto(page_address)

    # The cross.
    phone.get_by_role("button", name="Add a cross").wait_for()
    at_rest(phone)
    phone.get_by_role("button", name="Add a cross").click()
    phone.get_by_label("Id of the cross").fill("SPICA-7")
    phone.get_by_label("Female parent").fill(NASTY)
    phone.get_by_label("Male parent", exact=True).fill("Tiefland")
    phone.get_by_role("button", name="Add this cross").click()
    expect(phone.get_by_label("Cross (female / male)")).to_have_value(
        f"SPICA-7: {NASTY} / Tiefland"
    )
    phone.keyboard.press("Escape")
    phone.get_by_label("Your name").fill("Ilse")
    phone.get_by_label("Your name").press("Enter")

    # The photos, one of them no photo; the verdict comes by itself.
    bad = tmp_path / "bad.jpg"
    bad.write_bytes(b"no picture")
    # At once, while the page still takes up the name: it must not get lost.
    phone.locator("input[type=file]").first.set_input_files([bad, photo])
    verdict = phone.get_by_role("status").filter(has_text="REVIEW")
    expect(verdict).to_be_visible()
    expect(phone.get_by_text("bad.jpg: ")).to_be_visible()
    # Decoding fails when the sign is no picture, or has not come.
    assert verdict.locator("img").evaluate("sign => sign.decode().then(() => sign.naturalWidth)")
    expect(phone.get_by_text(f"{NASTY} / Tiefland").first).to_be_visible()
    assert_fits(phone)
    keep_picture(phone, "2_verdict")

    # The record; a double click makes one check.
    phone.get_by_role("button", name="Record this check").dblclick()
    expect(
        phone.get_by_text("Recorded as check 1: cross SPICA-7, spike 1, by Ilse.")
    ).to_be_visible()

    # A decision by hand, with its reason, once the page has worked off both clicks.
    at_rest(phone)
    phone.get_by_text("Decide otherwise").click()
    phone.get_by_label("Your reason").fill("It was *palea*")
    phone.get_by_role("button", name="Record my decision").click()
    expect(phone.get_by_text("Ilse decided pass on")).to_contain_text("It was *palea*")
    keep_picture(phone, "3_recorded")

    # The next spike.
    phone.get_by_role("button", name="Leave this spike, go to the next").click()
    expect(phone.get_by_label("Number of the spike")).to_have_value("2")
    expect(phone.get_by_role("button", name="Take or choose a photo")).to_be_visible()

    # The records.
    go_to(phone, "Records")
    expect(phone.get_by_text("Spikes checked 1 · pass 1 · review 0")).to_be_visible()
    phone.get_by_role("button", name="Show its checks").click()
    expect(phone.get_by_text(f"SPICA-7: {NASTY} / Tiefland")).to_be_visible()
    expect(phone.get_by_text("Spike 1, check 1")).to_have_count(1)
    phone.get_by_text("Show the marked photos").click()
    expect(phone.get_by_text("leftover.jpg")).to_be_visible()
    expect(phone.get_by_text("It was *palea*")).to_be_visible()
    assert_fits(phone)
    keep_picture(phone, "4_records")

    # The cautions.
    go_to(phone, "Safety and limits")
    expect(phone.get_by_text("wet ethanol injures the stigma")).to_be_visible()
    keep_picture(phone, "5_safety")


def assert_fits(tab: Page) -> None:
    """Nothing makes the page wider than the phone."""
    assert tab.evaluate(
        "(main => main.scrollWidth <= main.clientWidth)"
        "(document.querySelector('[data-testid=stMain]'))"
    )
