"""A trainee goes from zero to signed off on a phone: a miss, a false alarm, a reload on the way."""

from __future__ import annotations

import dataclasses
import hashlib
import re
import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from spikecheck.bundled import bundled_folder
from spikecheck.imaging.encoding import encode_jpeg
from spikecheck.imaging.label_view import region_view
from spikecheck.store import open_store
from spikecheck.synthetic.image import make_image
from spikecheck.vocabulary import read_truth, write_truth
from tests.browser.axe_checks import serious
from tests.browser.resting import at_rest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from contextlib import AbstractContextManager

    from playwright.sync_api import Locator, Page

    from spikecheck.vocabulary import PhotoTruth, Point

# Four photos with a leftover in a session of eight. One miss of them is not the end: after it,
# three finds sign off (Wald's bounds of these numbers: ln 4 and -ln 4; a miss weighs ln 3.5, a
# find ln 0.375).
NUMBERS = """
viewing_s = 2.5
session_photos = 8
leftovers_least = 0.49
leftovers_most = 0.5
acceptable_miss_rate = 0.2
unacceptable_miss_rate = 0.7
good_sent_back = 0.2
poor_signed_off = 0.2
"""
ANSWERS = ("Review", "Pass")
ANSWER, TOLD = re.compile("^(Review|Pass):"), re.compile("^(Next photo|See how the session went)")
_CLOSE_ZOOM = 4
_NO_DOUBLE_CLICK_MS = 900
_SMALL_PX_PER_MM = 20.0


@pytest.fixture(scope="module")
def photos(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Four clean spikes, four with a leftover; their names give the truth away."""
    folder = tmp_path_factory.mktemp("practice")
    demo = bundled_folder("synthetic_images") / "demo"
    for kind in ("clean", "leftover"):
        for photo in sorted(demo.glob(f"{kind}_*.jpg"))[:4]:
            shutil.copy(photo, folder)
            shutil.copy(photo.with_suffix(".json"), folder)
    drawn = make_image("leftover_yellow", seed=1, px_per_mm=_SMALL_PX_PER_MM)
    (folder / "leftover_drawn.jpg").write_bytes(encode_jpeg(drawn.pixels))
    truth = dataclasses.replace(drawn.truth, image="leftover_drawn.jpg")
    write_truth(truth, folder / "leftover_drawn.json")
    return folder


@pytest.fixture
def address(
    photos: Path, tmp_path: Path, serve: Callable[..., AbstractContextManager[str]]
) -> Iterator[str]:
    """The page with these photos and numbers."""
    numbers = tmp_path / "numbers.toml"
    numbers.write_text(NUMBERS, encoding="utf-8")
    words = (
        "app", "--store", str(tmp_path / "records"), "--practice", str(photos),
        "--practice-numbers", str(numbers),
    )  # fmt: skip
    with serve(*words, home=tmp_path) as served:
        yield served


class Trainee:
    """Someone who knows the truth from the files, and counts the taps."""

    def __init__(self, tab: Page, photos: Path, records: Path) -> None:
        self.tab = tab
        self.taps = 0
        self.records = records
        self.truths = {
            hashlib.sha256(path.read_bytes()).hexdigest(): read_truth(path.with_suffix(".json"))
            for path in photos.glob("*.jpg")
        }

    def on_view(self) -> PhotoTruth:
        """What the photo on view really shows."""
        with open_store(str(self.records)) as store:
            (session,) = store.practice.of("Mira")
        upcoming = next(photo for photo in session.photos if photo.answer is None)
        return self.truths[upcoming.drawn.photo]

    def press(self, name: str) -> None:
        """Tap a button."""
        button = self.tab.get_by_role("button", name=name)
        await_time(self.tab, name)
        button.click()
        self.taps += 1
        if name in ANSWERS:
            assert_only_the_truth(self.tab)

    def mark(self, truth: PhotoTruth, place: Point) -> None:
        """Tap the whole photo there, then the place itself."""
        self._tap(place.column / truth.width, place.row / truth.height)
        expect(self.tab.get_by_role("button", name="Whole photo")).to_be_visible()
        self.tab.wait_for_timeout(_NO_DOUBLE_CLICK_MS)
        view = region_view(truth.width, truth.height, centre=place, zoom=_CLOSE_ZOOM)
        self._tap(
            (place.column - view.left) / (view.right - view.left),
            (place.row - view.top) / (view.bottom - view.top),
        )
        expect(self.tab.get_by_role("button", name="Take back mark 1")).to_be_visible()

    def picture(self) -> Locator:
        """The photo on view."""
        return self.tab.frame_locator("iframe[src*=image_coordinates]").locator("#image")

    def _tap(self, x_share: float, y_share: float) -> None:
        at_rest(self.tab)
        image = self.picture()
        image.scroll_into_view_if_needed()
        box = image.bounding_box()
        assert box is not None
        image.click(position={"x": x_share * box["width"], "y": y_share * box["height"]})
        self.taps += 1


@pytest.mark.browser
def test_from_zero_to_signed_off(
    phone: Page,
    address: str,
    photos: Path,
    tmp_path: Path,
    keep_picture: Callable[[Page, str], None],
):
    trainee = Trainee(phone, photos, tmp_path / "records")
    phone.goto(f"{address}/practice")
    phone.get_by_label("Your name").fill("Mira")
    phone.get_by_label("Your name").press("Enter")
    expect(phone.get_by_text("4 more spikes with a leftover").or_(
        phone.get_by_text("2 more spikes with a leftover"))).to_be_visible()  # fmt: skip
    assert_fits(phone)
    keep_picture(phone, "practice_1_start")
    trainee.press("Begin")
    missed = alarmed = False
    for number in range(1, 9):
        expect(phone.get_by_text(f"Photo {number} of 8")).to_be_visible()
        truth = trainee.on_view()
        assert_blind(phone, truth)
        before = trainee.taps
        if number == 1:
            phone.get_by_role("button", name="Pass:").click()
            # It hides when its seconds are over, which may be before the browser is asked.
            expect(phone.get_by_text("Not yet: look into every floret").first).to_be_attached()
        if truth.anthers and not missed:  # a deliberate miss
            missed = True
            trainee.press("Pass")
            expect(phone.get_by_text("Missed:")).to_be_visible()
            assert_fits(phone)
            assert_accessible(phone)
            keep_picture(phone, "practice_3_missed")
        elif truth.anthers:
            trainee.mark(truth, truth.anthers[0].centre)
            assert_fits(phone)
            assert_accessible(phone)
            keep_picture(phone, f"practice_2_marked_{number}")
            trainee.press("Review")
            expect(phone.get_by_text("Found").first).to_be_visible()
            keep_picture(phone, f"practice_4_found_{number}")
        elif not alarmed:  # and a false alarm, after a reload
            alarmed = True
            phone.reload()
            expect(phone.get_by_text(f"Photo {number} of 8")).to_be_visible()
            trainee.press("Review")
            expect(phone.get_by_text("False alarm:")).to_be_visible()
        else:
            trainee.press("Pass")
            expect(phone.get_by_text("Right: nothing is left")).to_be_visible()
        trainee.press("Next photo" if number < 8 else "See how the session went")
        assert trainee.taps - before <= 4
    expect(phone.get_by_text("Signed off on")).to_be_visible()
    at_rest(phone)
    expect(phone.get_by_text("1 of 4 spikes with a leftover missed")).to_be_visible()
    assert_fits(phone)
    keep_picture(phone, "practice_5_results")
    assert trainee.taps == 1 + 3 * 4 + 5 * 2
    print(f"taps from the first view to the sign-off: {trainee.taps}", file=sys.stderr)  # noqa: T201


@pytest.mark.browser
def test_by_keyboard_at_a_desk(
    desk: Page,
    address: str,
    photos: Path,
    tmp_path: Path,
    keep_picture: Callable[[Page, str], None],
):
    """Every step without a pointer; nothing serious is found by an accessibility checker."""
    trainee = Trainee(desk, photos, tmp_path / "records")
    desk.goto(f"{address}/practice?by=Mira")
    assert_accessible(desk)
    by_key(desk, "Begin")
    expect(desk.get_by_text("Photo 1 of 8")).to_be_visible()
    truth = trainee.on_view()
    expect(desk.frame_locator('[title="The spike to look at"]').get_by_role(
        "img", name="The spike to look at")).to_be_visible()  # fmt: skip
    for name in ("+", "\N{UPWARDS ARROW}", "\N{RIGHTWARDS ARROW}", "Mark the middle"):
        by_key(desk, name)
        at_rest(desk)
    expect(desk.get_by_role("button", name="Take back mark 1")).to_be_visible()
    at_rest(desk)
    assert_accessible(desk)
    keep_picture(desk, "practice_6_desk")
    by_key(desk, "Take back mark 1")
    by_key(desk, "Whole photo")
    by_key(desk, "Review")
    told = "Review was safe" if truth.anthers else "False alarm:"
    expect(desk.get_by_text(told)).to_be_visible()
    at_rest(desk)
    assert_accessible(desk)
    keep_picture(desk, "practice_7_desk_truth")


def await_time(tab: Page, name: str) -> None:
    """Wait until the page says that an answer can be given, if ``name`` is one."""
    if name in ANSWERS:
        expect(tab.get_by_text("You can answer now")).to_be_visible(timeout=10_000)


def assert_only_the_truth(tab: Page) -> None:
    """The truth begins at the top of the page, with nothing of the photo before below it."""
    tab.get_by_role("button", name=TOLD).wait_for()
    assert tab.get_by_role("button", name=ANSWER).count() == 0
    assert tab.evaluate("document.querySelector('[data-testid=stMain]').scrollTop") == 0


def by_key(tab: Page, name: str) -> None:
    """Press a button by the keyboard alone."""
    button = tab.get_by_role("button", name=name)
    expect(button).to_be_enabled(timeout=10_000)
    await_time(tab, name)
    at_rest(tab)
    button.focus()
    tab.keyboard.press("Enter")


def assert_accessible(tab: Page) -> None:
    """The checker finds nothing serious."""
    at_rest(tab)
    assert serious(tab) == []


def assert_blind(tab: Page, truth: PhotoTruth) -> None:
    """Nothing on the page tells which photo this is."""
    for frame in tab.frames:
        shown = frame.content()
        assert Path(truth.image).stem not in shown
        assert "leftover_" not in shown


def assert_fits(tab: Page) -> None:
    """Nothing makes the page wider than the screen."""
    assert tab.evaluate(
        "(main => main.scrollWidth <= main.clientWidth)"
        "(document.querySelector('[data-testid=stMain]'))"
    )
