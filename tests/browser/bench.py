"""A technician at the bench in a browser: counts taps, and measures what can be seen."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from playwright.sync_api import expect

from spikecheck.store import open_store
from spikecheck.tags import tag_sheets
from spikecheck.vocabulary import CrossTag, Step
from spikecheck.vocabulary.steps import Emasculated
from spikecheck.vocabulary.tag_code import new_code
from tests.browser.resting import at_rest
from tests.end_to_end.tag_photos import photo_with_tag, scale_of, tag_of_sheet
from tests.plans import planned

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Locator, Page

CROSS, FEMALE, MALE = "SPICA-7", "Alva", "Brinn"
SETTLED_MS = 1_700  # longer than a bag takes at least to be put on, see thresholds/bench.toml


@dataclass
class Technician:
    """Someone who taps.

    Parameters
    ----------
    tab
        The browser's tab.
    taps
        What was tapped, in order.
    """

    tab: Page
    taps: list[str] = field(default_factory=list)

    def tap(self, name: str) -> None:
        """Tap the button of this name; wait for what it is to show afterwards."""
        self.taps.append(name)
        button = self.tab.get_by_role("button", name=name)
        expect(button).to_be_in_viewport()  # nobody scrolls for it
        button.click()

    def photo(self, path: Path, *, control: str = "first") -> None:
        """Give a photo to one of the controls; the verdict comes by itself: wait for it."""
        box = self.tab.locator(f'[class*="st-key-camera-button-"][class*="-{control}"]')
        box.locator("input[type=file]").set_input_files(path)

    def verdict(self, word: str) -> None:
        """Wait for the verdict."""
        expect(self.tab.get_by_role("status").filter(has_text=word).first).to_be_visible()
        self.rest()

    def rest(self) -> None:
        """Wait until the page runs no more, once it shows what was asked for."""
        at_rest(self.tab)


def season(records: Path, photos: Path, *, spikes: dict[int, str]) -> dict[int, Path]:
    """Make records of a cross with emasculated, tagged spikes; return a photo of each with its tag.

    Parameters
    ----------
    records
        Folder of the records.
    photos
        Folder for the photos.
    spikes
        Number of each spike and the demo photo that shows it.
    """
    codes = random.Random(7)
    cut = datetime.now(UTC) - timedelta(hours=3)
    with open_store(str(records)) as store:
        store.plans.add(planned(CROSS, FEMALE, MALE))
        tagged = store.spikes.give_tags(CROSS, spikes, new_code=lambda: new_code(codes), by="Ida")
        for number in spikes:
            store.spikes.add(CROSS, number, Step(Emasculated(20, 60), cut, "Ida"))
    sheet = photos / "tags.pdf"
    sheet.write_bytes(
        tag_sheets([CrossTag(one.tag, CROSS, FEMALE, MALE, one.spike) for one in tagged if one.tag])
    )
    made = {}
    for place, (number, demo) in enumerate(spikes.items()):
        tag = tag_of_sheet(sheet, place, px_per_mm=scale_of(demo))
        made[number] = photo_with_tag(demo, tag, photos / f"{number}.jpg")
    return made


def small_targets(tab: Page, least_px: int) -> list[str]:
    """Return what can be tapped, is in sight and is less than ``least_px`` high or wide."""
    found: list[str] = tab.evaluate(_SMALL, least_px)
    return found


def faint_texts(tab: Page, least: float) -> list[str]:
    """Return texts in sight whose contrast with what lies behind is below ``least``.

    Contrast as WCAG 2.2 defines it, https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio, with opacity
    and half-transparent colours blended first.
    """
    found: list[str] = tab.evaluate(_FAINT, least)
    return found


def fits(tab: Page) -> bool:
    """Whether nothing makes the page wider than the screen."""
    return bool(
        tab.evaluate(
            "(main => main.scrollWidth <= main.clientWidth)"
            "(document.querySelector('[data-testid=stMain]'))"
        )
    )


def laid_out(tab: Page) -> None:
    """Wait until the browser has drawn twice: once anew, once what the page made of that."""
    tab.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")


def seen(locator: Locator) -> int:
    """Return how many of these can be seen."""
    return sum(one.is_visible() for one in locator.all())


_SMALL = """least => [...document.querySelectorAll(
    'button, a[href], summary, input:not([type=file]), [role=combobox], [role=button]')]
  .filter(one => one.checkVisibility({checkOpacity: true, checkVisibilityCSS: true}))
  .map(one => {
    const label = one.closest('label');
    const target = label && one.matches('input') ? label : one;
    const box = target.closest('[data-baseweb=input], [data-baseweb=select]') || target;
    return [one, box.getBoundingClientRect()];
  })
  .filter(([one, box]) => box.width > 1 && box.height > 1)
  .filter(([one, box]) => box.height < least - 0.5 || box.width < least - 0.5)
  .map(([one, box]) => `${one.tagName} ${one.innerText || one.ariaLabel || one.className} ` +
    `${box.width.toFixed(0)}x${box.height.toFixed(0)}`)"""

_FAINT = """least => {
  const parse = text => (text.match(/[\\d.]+/g) || [0, 0, 0, 0]).map(Number);
  const over = (top, under) => {
    const a = top.length > 3 ? top[3] : 1;
    return [0, 1, 2].map(i => a * top[i] + (1 - a) * under[i]);
  };
  const light = rgb => {
    const [r, g, b] = rgb.map(v => v / 255)
      .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const behind = one => {
    const chain = [];
    for (let at = one; at; at = at.parentElement) chain.push(at);
    let ground = [255, 255, 255];
    for (const at of chain.reverse()) {
      const style = getComputedStyle(at);
      const colour = parse(style.backgroundColor);
      if (colour.length < 4 || colour[3] > 0) ground = over(colour, ground);
    }
    return ground;
  };
  const found = [];
  const walker = document.createTreeWalker(document.querySelector('.stApp'), NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const one = walker.currentNode.parentElement;
    const text = walker.currentNode.textContent.trim();
    if (!text || one.closest('style, script, [disabled]')) continue;
    if (!one.checkVisibility({checkOpacity: true, checkVisibilityCSS: true})) continue;
    const box = one.getBoundingClientRect();
    if (box.width < 2 || box.height < 2) continue;
    const ground = behind(one);
    let colour = parse(getComputedStyle(one).color);
    let opacity = 1;
    for (let at = one; at; at = at.parentElement) opacity *= +getComputedStyle(at).opacity;
    colour = [...colour.slice(0, 3), (colour.length > 3 ? colour[3] : 1) * opacity];
    const [a, b] = [light(over(colour, ground)), light(ground)].sort((x, y) => y - x);
    const ratio = (a + 0.05) / (b + 0.05);
    if (ratio < least) found.push(`${text.slice(0, 40)}: ${ratio.toFixed(2)}`);
  }
  return [...new Set(found)];
}"""
