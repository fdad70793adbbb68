"""Marking a photo by clicks on a phone and at a desk: stage, undo, redo, saved beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import expect

from spikecheck.synthetic.image import make_image
from spikecheck.vocabulary import AntherStage, read_truth
from tests.browser.resting import at_rest

if TYPE_CHECKING:
    from collections.abc import Callable
    from contextlib import AbstractContextManager
    from pathlib import Path

    from playwright.sync_api import Locator, Page

    from spikecheck.synthetic.image import SyntheticImage
    from spikecheck.vocabulary import Point

_SIDEWAYS = 6  # EXIF orientation: the camera was held turned a quarter to the left
_REACH_PX = 15  # a click on a phone lands within a screen pixel of the aim, eight photo pixels wide


@pytest.fixture(scope="module")
def drawn() -> SyntheticImage:
    """A drawn spike with an anther left in it."""
    return make_image("leftover_yellow", seed=1)


@pytest.fixture
def photos(tmp_path: Path, drawn: SyntheticImage) -> Path:
    """A folder with that photo as a phone writes it, turned and with the turn in its EXIF."""
    folder = tmp_path / "photos"
    folder.mkdir()
    exif = Image.Exif()
    exif[0x0112] = _SIDEWAYS
    turned = Image.fromarray(np.rot90(drawn.pixels))
    turned.save(folder / "spike 1.jpg", quality=90, exif=exif)
    return folder


@pytest.mark.browser
@pytest.mark.parametrize("width", ["phone", "desk"])
def test_an_anther_is_marked_by_a_click_undone_and_redone(  # noqa: PLR0917  (fixtures)
    width: str,
    request: pytest.FixtureRequest,
    photos: Path,
    drawn: SyntheticImage,
    serve: Callable[..., AbstractContextManager[str]],
    tmp_path: Path,
    keep_picture: Callable[[Page, str], None],
):
    label = photos / "spike 1.json"
    before = (photos / "spike 1.jpg").read_bytes()
    anther = drawn.truth.anthers[0].centre
    tab: Page = request.getfixturevalue(width)
    with serve("label", str(photos), home=tmp_path) as address:
        tab.goto(address)
        expect(tab.get_by_text("0 of 1 photos finished.")).to_be_visible()
        asked = tab.get_by_text("Give your name above before you mark anything.")
        expect(asked).to_be_visible()
        tab.get_by_label("Your name").fill("Ilse")
        tab.get_by_label("Your name").press("Enter")
        expect(asked).to_have_count(0)

        # The map brings the anther into the enlarged region.
        at_rest(tab)
        height, wide = drawn.pixels.shape[:2]
        small, large = (picture(tab, number) for number in (0, 1))
        large.wait_for()
        before_it = large.get_attribute("src")
        click_at(small, anther.column / wide, anther.row / height)
        expect(large).not_to_have_attribute("src", str(before_it))
        at_rest(tab)

        # A click without a stage marks nothing; with one it is saved.
        region = region_after_map(anther, wide, height)
        aim = ((anther.column - region[1]) / region[2], (anther.row - region[0]) / region[2])
        click_at(large, *aim)
        expect(tab.get_by_text("Choose the stage of the anther first")).to_be_visible()
        tab.get_by_text("yellow, still closed").first.click()
        at_rest(tab)
        tab.wait_for_timeout(1000)  # sooner it would be half of a double click
        click_at(large, *aim)
        expect(tab.get_by_text("Saved so far; not finished.")).to_be_visible()
        (mark,) = read_truth(label).anthers
        assert mark.stage is AntherStage.YELLOW
        assert abs(mark.centre.row - anther.row) < _REACH_PX
        assert abs(mark.centre.column - anther.column) < _REACH_PX
        assert_fits(tab)
        keep_picture(tab, f"6_marked_{width}")

        # Undo and redo, on disk too.
        tab.get_by_role("button", name="Undo").click()
        expect(tab.get_by_text("Saved so far; not finished.")).to_have_count(0)
        at_rest(tab)
        assert not label.exists()
        tab.get_by_role("button", name="Redo").click()
        expect(tab.get_by_text("Saved so far; not finished.")).to_be_visible()
        assert read_truth(label).anthers == (mark,)

        # Finished.
        tab.get_by_role("button", name="That is all: 1 marked, nothing else is left").click()
        expect(tab.get_by_text("1 of 1 photos finished.")).to_be_visible()
        assert read_truth(label).complete
        tab.get_by_role("button", name="Let the check look at this photo").click()
        expect(tab.get_by_role("button", name="It is not: ?1", exact=True)).to_be_visible()
        assert_fits(tab)
        keep_picture(tab, f"7_suggestions_{width}")
    assert (photos / "spike 1.jpg").read_bytes() == before


def picture(tab: Page, number: int) -> Locator:
    """The map (0) or the enlarged region (1)."""
    frames = tab.frame_locator("iframe[src*=image_coordinates]")
    return frames.nth(number).locator("#image")


def click_at(image: Locator, x_share: float, y_share: float) -> None:
    """Click a picture at shares of its width and height.

    The page may put a new frame in the place of a picture's while it settles; then what was about
    to be scrolled to or measured is gone, and nothing was clicked yet.
    """
    for last in (False, False, True):
        try:
            image.scroll_into_view_if_needed()
            image.evaluate("one => one.decode()")  # it is as high as it is to be
            box = image.bounding_box()
        except PlaywrightError:
            if last:
                raise
            image.page.wait_for_timeout(1000)
        else:
            break
    assert box is not None
    image.click(position={"x": x_share * box["width"], "y": y_share * box["height"]})


def region_after_map(place: Point, width: int, height: int) -> tuple[float, float, int]:
    """Top, left and side of the square that is shown about ``place`` at four times."""
    side = round(max(width, height) / 4)
    top = min(max(place.row - side / 2, 0), height - side)
    left = min(max(place.column - side / 2, 0), width - side)
    return top, left, side


def assert_fits(tab: Page) -> None:
    """Nothing makes the page wider than the screen."""
    assert tab.evaluate(
        "(main => main.scrollWidth <= main.clientWidth)"
        "(document.querySelector('[data-testid=stMain]'))"
    )
