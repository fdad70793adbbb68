"""How fast the gallery of a large session is, in a real browser, and whether memory stays flat.

Run it with ``python -m tests.benchmarks.gallery`` from the top of the repository. The records, the
thumbnails and the server are its own and are gone at the end. Times are taken in the page itself,
from the tap until every thumbnail is there and decoded.
"""

from __future__ import annotations

import argparse
import io
import os
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING, Any

from PIL import Image, ImageFilter
from playwright.sync_api import sync_playwright

from spikecheck.store import open_store
from tests.audited_session import SESSION, build_session, drawn_spike
from tests.benchmarks.report import add_json_option, keep, show
from tests.free_port import free_port

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
_KINDS = 16  # pictures that differ; files of one kind differ in a few bytes after the picture
_OVERLAY_PX = (1200, 2000)
_UP_S = 60
_WAIT_MS = 60_000
# Clicks the button with this name, then waits until the page has turned and all is decoded.
_TURN = """async ([name, selector]) => {
  const pictures = () => [...document.querySelectorAll('.audit-faces img')];
  const before = new Set(pictures().map((one) => one.alt));
  const all = [...document.querySelectorAll('button')];
  const button = all.find((one) => one.innerText.trim().startsWith(name));
  const start = performance.now();
  button.click();
  const turned = () => {
    // "Spikes 25 to 48 of 1000": as many tiles, none of the page before, every picture decoded.
    const told = (document.querySelector(selector)?.innerText ?? '').match(/\\d+/g);
    const tiles = document.querySelectorAll('.audit-faces').length;
    const shown = pictures();
    return told && tiles === told[1] - told[0] + 1 && shown.length === 2 * tiles
      && shown.every((one) => !before.has(one.alt) && one.complete && one.naturalWidth);
  };
  while (performance.now() - start < 60000) {
    await new Promise(requestAnimationFrame);
    if (turned()) return performance.now() - start;
  }
  throw new Error('the page did not turn');
}"""
_STATUS = ".st-key-audit-turns [data-testid=stText]"


def overlays() -> list[bytes]:
    """Return some pictures as large as overlays are, with the grain of photos."""
    made = []
    for kind in range(_KINDS):
        picture = Image.open(io.BytesIO(drawn_spike(kind, 0, marked=True, size=_OVERLAY_PX)))
        grain = Image.effect_noise(_OVERLAY_PX, 60).convert("RGB").filter(ImageFilter.BLUR)
        file = io.BytesIO()
        Image.blend(picture.convert("RGB"), grain, 0.25).save(file, "JPEG", quality=90)
        made.append(file.getvalue())
    return made


def measure(*, spikes: int, turns: int) -> dict[str, Any]:
    """Return what was measured; times in ms, memory in MiB."""
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        kinds = overlays()

        def pictures(spike: int, face: int) -> tuple[bytes, bytes]:
            own = f"{spike} {face}".encode()
            return b"\xff\xd8\xff" + own, kinds[(spike * 2 + face) % _KINDS] + own

        with open_store(str(home / "records")) as store:
            build_session(store, count=spikes, pictures=pictures)
        with _served(home) as (address, server), sync_playwright() as playwright:
            program = next(filter(None, map(shutil.which, BROWSERS)))
            browser = playwright.chromium.launch(
                executable_path=program, args=["--no-sandbox", "--disable-gpu"]
            )
            figures = _drive(browser, address, server, turns)
            browser.close()
        figures["photos"] = 2 * spikes
        figures["overlay_kib"] = round(sum(map(len, kinds)) / len(kinds) / 1024)
        kept = list((home / "cache").rglob("*.jpg"))
        figures["thumbnails"] = len(kept)
        figures["thumbnail_kib"] = sum(one.stat().st_size for one in kept) / 1024 / len(kept)
        return figures


def _drive(browser: Browser, address: str, server: int, turns: int) -> dict[str, Any]:
    warm_up = _open(browser, address)  # the server loads the app's code with the first visitor
    warm_up.close()
    page = _open(browser, address)
    reference = [_without_pictures(page, words) for words in ("Sample", "Overview") * 3]
    figures: dict[str, Any] = {"reference_ms": reference}
    figures["first_cold_ms"] = _part(page, "Gallery")
    figures["first_warm_ms"] = []
    for _visit in range(3):
        other = _open(browser, address)
        figures["first_warm_ms"].append(_part(other, "Gallery"))
        other.close()
    figures["turn_ms"], figures["rss_mib"] = [], [_rss_mib(server)]
    forward = True
    for _turn in range(turns):
        name = "Next page" if forward else "Page before"
        if page.get_by_role("button", name=name).is_disabled():
            forward = not forward
            name = "Next page" if forward else "Page before"
        figures["turn_ms"].append(page.evaluate(_TURN, [name, _STATUS]))
        figures["rss_mib"].append(_rss_mib(server))
        time.sleep(0.3)  # a person looks, thumbnails of the next page are made
    page.close()
    return figures


def _open(browser: Browser, address: str) -> Page:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto(f"{address}/audit")
    page.get_by_text("Who did what").first.wait_for(timeout=_WAIT_MS)
    page.locator("button", has_text="Gallery").wait_for(timeout=_WAIT_MS)
    return page


def _part(page: Page, name: str) -> float:
    return float(page.evaluate(_TURN, [name, _STATUS]))


def _without_pictures(page: Page, name: str) -> float:
    """Return how long a part of the same page takes that has no thumbnails, ms."""
    plan, people = "Plan", "Who did what"
    heading, gone = (plan, people) if name == "Sample" else (people, plan)
    return float(
        page.evaluate(
            """async ([name, heading, gone]) => {
              const shown = (words) => [...document.querySelectorAll('h3')].some(
                (one) => one.innerText.trim() === words);
              const button = [...document.querySelectorAll('button')].find(
                (one) => one.innerText.trim().startsWith(name));
              const start = performance.now();
              button.click();
              while (!shown(heading) || shown(gone)) await new Promise(requestAnimationFrame);
              return performance.now() - start;
            }""",
            [name, heading, gone],
        )
    )


@contextmanager
def _served(home: Path) -> Iterator[tuple[str, int]]:
    """Serve the page by the command; yield its address and the number of the process."""
    port = free_port()
    program = str(Path(sys.executable).with_name("spikecheck"))
    command = [program, "app", "--store", str(home / "records"), "--port", str(port)]
    environment = {**os.environ, "HOME": str(home), "SPIKECHECK_CACHE": str(home / "cache")}
    with (
        (home / "server.log").open("wb") as out,
        subprocess.Popen(command, stdout=out, stderr=out, env=environment) as server,
    ):
        try:
            end = time.monotonic() + _UP_S
            while True:
                try:
                    urllib.request.urlopen(f"http://127.0.0.1:{port}/_stcore/health", timeout=5)
                    break
                except (urllib.error.URLError, TimeoutError, ConnectionError):
                    if time.monotonic() > end:
                        raise
                    time.sleep(0.2)
            yield f"http://127.0.0.1:{port}", server.pid
        finally:
            server.terminate()
            server.wait(_UP_S)


def _rss_mib(process: int) -> float:
    """Return the memory that a process and its children hold, MiB."""
    children = Path(f"/proc/{process}/task/{process}/children").read_text().split()
    pages = int(Path(f"/proc/{process}/statm").read_text().split()[1])
    own = pages * os.sysconf("SC_PAGE_SIZE") / 2**20
    return own + sum(_rss_mib(int(child)) for child in children)


def main(arguments: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(prog="gallery", description=__doc__)
    parser.add_argument("--spikes", type=int, default=1000, help="of two photos each")
    parser.add_argument("--turns", type=int, default=125, help="pages turned")
    add_json_option(parser)
    options = parser.parse_args(arguments)
    figures = measure(spikes=options.spikes, turns=options.turns)
    turns, rss = figures["turn_ms"], figures["rss_mib"]
    first = turns[: options.spikes // 24]
    show(
        f"Gallery of {figures['photos']} photos, overlays of {figures['overlay_kib']} KiB, "
        f"session {SESSION}",
        ["ms", "median", "worst"],
        [
            ["a part of the page without pictures",
             f"{median(figures['reference_ms']):.0f}", f"{max(figures['reference_ms']):.0f}"],
            ["first screen, no thumbnail made yet", f"{figures['first_cold_ms']:.0f}", ""],
            ["first screen of another visitor", f"{median(figures['first_warm_ms']):.0f}",
             f"{max(figures['first_warm_ms']):.0f}"],
            ["page turn, first time through", f"{median(first):.0f}", f"{max(first):.0f}"],
            ["page turn, all", f"{median(turns):.0f}", f"{max(turns):.0f}"],
        ],
    )  # fmt: skip
    show(
        "Memory of the server",
        ["MiB", ""],
        [
            ["before turning pages", f"{rss[0]:.0f}"],
            *([f"after {count} turns", f"{rss[count]:.0f}"] for count in range(25, len(rss), 25)),
        ],
    )
    show(
        "Thumbnails",
        ["", ""],
        [["kept", str(figures["thumbnails"])], ["KiB each", f"{figures['thumbnail_kib']:.1f}"]],
    )
    keep(figures, options.json)


if __name__ == "__main__":
    main()
