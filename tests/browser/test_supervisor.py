"""A supervisor audits a session of 200 spikes: looks it over, draws, reads blind, decides."""

from __future__ import annotations

import sys
import zipfile
from typing import TYPE_CHECKING

import pytest

from spikecheck.labelling.progress import folder_progress
from spikecheck.pipeline.batch_folder import list_photos
from spikecheck.store import open_store
from spikecheck.supervision import session_audit
from spikecheck.supervision.sample import SampleResult
from tests.audited_session import SESSION, build_session
from tests.browser.resting import at_rest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from contextlib import AbstractContextManager
    from pathlib import Path

    from playwright.sync_api import Page

READER = "Gro"
_SAMPLE = 38
_ALL_DECODED = """(count) => {
  const pictures = [...document.querySelectorAll('.audit-faces img')];
  return pictures.length === count && pictures.every((one) => one.complete && one.naturalWidth);
}"""
_LARGE_DECODED = """() => {
  const pictures = [...document.querySelectorAll('[data-testid=stImage] img')];
  return pictures.length === 2 && pictures.every((one) => one.complete && one.naturalWidth);
}"""
_NAME = "Your name; readings and decisions carry it"
_PASS = "Pass: nothing is left"


class Hand:
    """Taps and counts the taps."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.taps = 0

    def tap(self, name: str, *, exact: bool = False) -> None:
        """Tap the button of this name."""
        self.page.get_by_role("button", name=name, exact=exact).first.click()
        self.taps += 1

    def part(self, name: str) -> None:
        """Open a part of the audit page."""
        self.page.get_by_test_id("stButtonGroup").first.get_by_text(name, exact=True).click()
        self.taps += 1

    def sees(self, text: str, *, exact: bool = False) -> None:
        """Wait until the page shows this, which it did not before, and has come to rest.

        A tap before that counts as the second half of a double tap, which records nothing.
        """
        self.page.get_by_text(text, exact=exact).first.wait_for()
        at_rest(self.page)


@pytest.fixture
def audited(
    tmp_path: Path, serve: Callable[..., AbstractContextManager[str]]
) -> Iterator[tuple[str, Path]]:
    """The address of the audit page over a session of 200 spikes, and the folder of the records."""
    records = tmp_path / "records"
    with open_store(str(records)) as store:
        build_session(store)
    with serve("app", "--store", str(records), home=tmp_path) as address:
        yield f"{address}/audit", records


def test_a_supervisor_audits_a_session(
    audited: tuple[str, Path],
    desk: Page,
    keep_picture: Callable[[Page, str], None],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
):
    address, records = audited
    hand = Hand(desk)
    desk.goto(address)
    hand.sees("Who did what")
    desk.get_by_label(_NAME).fill(READER)
    desk.keyboard.press("Enter")
    keep_picture(desk, "audit-overview")
    look_over(hand, keep_picture)
    draw_and_read(hand, keep_picture)
    decide_all(hand, keep_picture)
    write_labels(hand, keep_picture, tmp_path / "labels")
    with open_store(str(records)) as store:
        audit = session_audit(store, SESSION)
        assert audit.sample is not None
        assert audit.sample.result is SampleResult.FAILS
        assert audit.counts.sent_back == 1
        assert not store.verify().faults
    progress = folder_progress(list_photos(tmp_path / "labels", recursive=False))
    assert (progress.leftover_spikes, progress.clean_spikes) == (1, 37)
    assert len(audit.sample.drawn) == _SAMPLE
    with capsys.disabled():
        sys.stdout.write(
            f"\nTaps of a supervisor for 200 spikes: {hand.taps}, {_SAMPLE - 1} of them one for "
            "each spike that is read and passed\n"
        )


def look_over(hand: Hand, keep_picture: Callable[[Page, str], None]) -> None:
    """Turn pages of the gallery and open spikes, by taps and by keys."""
    desk = hand.page
    hand.part("Gallery")
    hand.sees("Spikes 1 to 24 of 200")
    desk.wait_for_function(_ALL_DECODED, arg=48)
    keep_picture(desk, "audit-gallery")
    desk.keyboard.press("n")
    hand.sees("Spikes 25 to 48 of 200")
    desk.keyboard.press("b")
    hand.sees("Spikes 1 to 24 of 200")
    hand.tap("C-0504-000/4", exact=True)
    hand.sees("4 of 200", exact=True)  # "1 to 24 of 200" was there before
    hand.sees("Green anther in floret R4.")
    desk.wait_for_function(_LARGE_DECODED)
    keep_picture(desk, "audit-spike")
    desk.keyboard.press("n")
    hand.sees("5 of 200", exact=True)
    desk.keyboard.press("Escape")
    hand.sees("Spikes 1 to 24 of 200")


def draw_and_read(hand: Hand, keep_picture: Callable[[Page, str], None]) -> None:
    """Draw the sample; mark a leftover in the first spike by a tap in its photo, pass the rest."""
    desk = hand.page
    hand.part("Sample")
    hand.sees("Look at 38 of 185 spikes; the session passes if none of them is bad.")
    keep_picture(desk, "audit-plan")
    hand.tap("Draw 38 spikes")
    hand.sees("0 of 38 read")
    desk.get_by_role("button", name=_PASS).wait_for()
    picture = desk.frame_locator("iframe").first.locator("img")
    picture.wait_for()
    keep_picture(desk, "audit-reading")
    desk.get_by_test_id("stButtonGroup").nth(1).get_by_text("marks a leftover").click()
    picture.click(position={"x": 80, "y": 120})
    hand.taps += 2
    hand.tap("Review: left where I marked")
    hand.sees("1 of 38 read")
    for number in range(2, _SAMPLE + 1):
        hand.tap(_PASS)
        hand.sees(f"{number} of {_SAMPLE} read")


def decide_all(hand: Hand, keep_picture: Callable[[Page, str], None]) -> None:
    """Confirm what both passed, and send the other one back."""
    desk = hand.page
    hand.part("Result")
    hand.sees("Waiting for your decision")
    keep_picture(desk, "audit-result-open")
    hand.tap("Confirm the 37 spikes that both readers passed")
    hand.sees("37 spikes are confirmed.")
    hand.tap("Look and decide")
    hand.sees("Reason; needed to send it back")
    desk.get_by_label("Reason; needed to send it back").fill("a green tip, left of the middle")
    desk.wait_for_function(_LARGE_DECODED)
    keep_picture(desk, "audit-decide")
    hand.tap("Send back for a new check")
    hand.sees("is sent back")


def write_labels(hand: Hand, keep_picture: Callable[[Page, str], None], folder: Path) -> None:
    """See that the session does not pass, write labels, look at the charts."""
    desk = hand.page
    hand.part("Result")
    hand.sees("The session does not pass")
    desk.get_by_text("Labels for calibration").click()
    hand.taps += 1
    hand.tap("Make the labels")
    hand.sees("76 photos; spikes with a leftover: 1, clean: 37")
    with desk.expect_download() as saved:
        hand.tap("Save the labels")
    with zipfile.ZipFile(saved.value.path()) as archive:
        archive.extractall(folder)
    keep_picture(desk, "audit-result")
    hand.part("Charts")
    desk.get_by_alt_text("Bad spikes by technician").first.wait_for()
    keep_picture(desk, "audit-charts")


def test_audit_at_the_width_of_a_phone(
    audited: tuple[str, Path], phone: Page, keep_picture: Callable[[Page, str], None]
):
    hand = Hand(phone)
    phone.goto(audited[0])
    hand.sees("Who did what")
    phone.get_by_label(_NAME).fill(READER)
    phone.keyboard.press("Enter")
    hand.part("Gallery")
    hand.sees("Spikes 1 to 24 of 200")
    keep_picture(phone, "audit-gallery-phone")
    hand.part("Sample")
    hand.tap("Draw 38 spikes")
    hand.sees("0 of 38 read")
    phone.get_by_role("button", name=_PASS).wait_for()
    phone.frame_locator("iframe").first.locator("img").wait_for()
    keep_picture(phone, "audit-reading-phone")
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
