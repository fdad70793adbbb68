"""A technician at the bench: wet gloves, a phone, two minutes a spike."""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from spikecheck.store import open_store
from spikecheck.vocabulary import Verdict
from tests.browser.bench import (
    CROSS,
    SETTLED_MS,
    Technician,
    faint_texts,
    fits,
    laid_out,
    season,
    small_targets,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from contextlib import AbstractContextManager
    from pathlib import Path

    from playwright.sync_api import Page

MOST_TAPS = 5
TARGET_PX = 48
CLEAN, LEFTOVER, BLURRED = 4, 5, 6
SPIKES = {
    CLEAN: "clean_00551", LEFTOVER: "leftover_yellow_00524", BLURRED: "defocus_00547",
}  # fmt: skip
PHONES_PX = (360, 390, 430)


@dataclass(frozen=True)
class Bench:
    """Records, the photos of their spikes, and the page that serves them."""

    address: str
    records: Path
    photos: dict[int, Path]


@pytest.fixture
def bench(tmp_path: Path, serve: Callable[..., AbstractContextManager[str]]) -> Iterator[Bench]:
    """Three emasculated spikes with tags."""
    records = tmp_path / "records"
    photos = season(records, tmp_path, spikes=SPIKES)
    with serve("app", "--store", str(records), home=tmp_path) as address:
        yield Bench(address, records, photos)


def tell(what: str, taps: list[str]) -> None:
    """Print how many taps it took; ``pytest -s -n0`` shows it."""
    sys.stdout.write(f"Taps {what}: {len(taps)} ({' > '.join(taps)})\n")


def named(tab: Page, address: str) -> Technician:
    """Someone who has opened the page and typed a name, once a day."""
    tab.goto(address)
    name = tab.get_by_label("Your name")
    name.fill("Ilse")
    name.press("Enter")
    # It is folded away once it is known; for a moment the page holds both fields.
    expect(name.filter(visible=True)).to_have_count(0)
    one = Technician(tab)
    one.rest()
    return one


def assert_plain_to_see(tab: Page, where: str) -> None:
    """Everything is large enough, dark enough and not wider than the screen."""
    assert small_targets(tab, TARGET_PX) == [], where
    assert faint_texts(tab, 7) == [], where  # WCAG 2.2, 1.4.6
    assert fits(tab), where


@pytest.mark.browser
def test_a_spike_is_checked_and_bagged_in_at_most_five_taps_after_the_photo(
    phone: Page, bench: Bench, keep_picture: Callable[[Page, str], None]
):
    ilse = named(phone, bench.address)
    assert_plain_to_see(phone, "start")
    keep_picture(phone, "bench_390_start")
    ilse.photo(bench.photos[CLEAN])
    ilse.verdict("PASS")
    expect(phone.get_by_text(f"{CROSS}, spike {CLEAN}")).to_be_visible()
    keep_picture(phone, "bench_390_pass")
    ilse.tap("Record this check")
    expect(phone.get_by_text("Recorded as check 1")).to_be_visible()
    ilse.rest()
    phone.wait_for_timeout(SETTLED_MS)  # the bag goes on
    keep_picture(phone, "bench_390_recorded")
    ilse.tap("The bag is on: record it")
    expect(phone.get_by_text("Bagged.")).to_be_visible()
    ilse.rest()
    ilse.tap("Next spike")
    expect(phone.get_by_text("Take or choose a photo")).to_be_attached()
    tell("after the photo of a pass", ilse.taps)
    assert len(ilse.taps) <= MOST_TAPS
    with open_store(str(bench.records)) as store:
        spike = store.spikes.one(CROSS, CLEAN)
        assert spike.verdict is Verdict.PASS
        assert spike.bagged_at is not None
        assert len(store.checks(CROSS)) == 1


@pytest.mark.browser
def test_a_review_leads_to_the_florets_and_outlives_a_reload_and_a_restart(
    phone: Page,
    tmp_path: Path,
    serve: Callable[..., AbstractContextManager[str]],
    keep_picture: Callable[[Page, str], None],
):
    photos = season(tmp_path / "records", tmp_path, spikes=SPIKES)
    with serve("app", "--store", str(tmp_path / "records"), home=tmp_path) as address:
        ilse = named(phone, address)
        ilse.photo(photos[BLURRED])
        ilse.verdict("REVIEW")
        expect(phone.get_by_text("Take the photo again: ").first).to_be_visible()
        keep_picture(phone, "bench_390_retake")
        watch_the_bar(phone)
        ilse.photo(photos[LEFTOVER], control="again-0")
        expect(phone.get_by_text("Take the photo again: ")).to_have_count(0)
        # The verdict on the photo of before was not offered while the new one was looked at.
        expect(phone.get_by_role("button", name="Record this check")).to_be_visible()
        assert set(phone.evaluate("window.offeredMeanwhile")) == {0}
        ilse.rest()
        _assert_places(phone)
        for width in PHONES_PX:
            phone.set_viewport_size({"width": width, "height": 844})
            laid_out(phone)
            ilse.rest()
            assert_plain_to_see(phone, f"review at {width} px")
            keep_picture(phone, f"bench_{width}_review")
        begun = phone.url
        phone.reload()
        ilse.verdict("REVIEW")
        _assert_places(phone)
        assert phone.url == begun
    with serve("app", "--store", str(tmp_path / "records"), home=tmp_path) as address:
        phone.goto(f"{address}/?{begun.partition('?')[2]}")
        ilse.verdict("REVIEW")
        _assert_places(phone)
        ilse.tap("Record this check")
        expect(phone.get_by_text("Recorded as check 1")).to_be_visible()
        expect(phone).not_to_have_url(re.compile("draft="))
        ilse.rest()
        # Back with a new photo of the same spike: one tap on the control at the bottom.
        ilse.photo(photos[LEFTOVER], control="after")
        expect(phone.get_by_role("button", name="Record this check")).to_be_visible()
        tell("before the new photo after a review", ilse.taps)


def watch_the_bar(tab: Page) -> None:
    """Note at every change of the page how many buttons the bar has while no verdict is shown."""
    tab.evaluate(
        """() => {
          window.offeredMeanwhile = []
          const inSight = what => [...document.querySelectorAll(what)]
            .filter(one => one.checkVisibility())
          new MutationObserver(() => {
            if (inSight('[role=status]').some(one => /PASS|REVIEW/.test(one.innerText))) return
            window.offeredMeanwhile.push(inSight('[class*=st-key-next-] button').length)
          }).observe(document.body, {childList: true, subtree: true})
        }"""
    )


def _assert_places(tab: Page) -> None:
    """Each place has its close view beside its map, in sight of each other."""
    views, maps = tab.get_by_alt_text("Close view: "), tab.get_by_alt_text("Its place on a map")
    expect(views.first).to_be_visible()
    expect(maps.first).to_be_visible()
    assert views.count() == maps.count() >= 2
    view, drawn = views.first.bounding_box(), maps.first.bounding_box()
    assert view is not None
    assert drawn is not None
    assert view["x"] + view["width"] <= drawn["x"] + 1
    assert abs(view["y"] - drawn["y"]) < 40
    assert tab.get_by_text("Left side, floret").or_(tab.get_by_text("Right side, floret")).count()


@pytest.mark.browser
def test_the_whole_check_goes_by_keyboard_at_a_desk(
    desk: Page, bench: Bench, keep_picture: Callable[[Page, str], None]
):
    ilse = named(desk, bench.address)
    with desk.expect_file_chooser() as chooser:
        _tab_to(desk, "Take or choose a photo")
        desk.keyboard.press("Enter")
    chooser.value.set_files(bench.photos[CLEAN])
    ilse.verdict("PASS")
    assert_plain_to_see(desk, "desk")
    keep_picture(desk, "bench_1280_pass")
    desk.keyboard.press("n")
    expect(desk.get_by_text("Recorded as check 1")).to_be_visible()
    ilse.rest()
    desk.wait_for_timeout(SETTLED_MS)
    desk.locator("summary", has_text="Decide otherwise").focus()
    desk.keyboard.press("Enter")
    reason = desk.get_by_label("Your reason")
    expect(reason).to_be_visible()
    reason.focus()
    desk.keyboard.type("no anther seen, n")  # typed letters press nothing
    expect(reason).to_have_value("no anther seen, n")
    expect(desk.get_by_text("Bagged.")).to_have_count(0)
    _tab_to(desk, "The bag is on: record it")
    desk.keyboard.press("Enter")
    expect(desk.get_by_text("Bagged.")).to_be_visible()
    expect(desk.get_by_role("button", name="Next spike")).to_be_visible()
    ilse.rest()
    desk.keyboard.press("n")
    expect(desk.get_by_text("Take or choose a photo")).to_be_attached()
    with open_store(str(bench.records)) as store:
        assert store.spikes.one(CROSS, CLEAN).bagged_at is not None


def _tab_to(tab: Page, name: str, *, most: int = 60) -> None:
    """Press Tab until the button of this name has the focus."""
    button = tab.get_by_role("button", name=name)
    expect(button).to_be_visible()
    for _ in range(most):
        tab.keyboard.press("Tab")
        if button.evaluate("one => one === document.activeElement"):
            return
    pytest.fail(f"Tab does not lead to {name}")
