"""A headless browser, and the page as the command serves it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect, sync_playwright

from tests.browser.resting import PATIENCE_MS
from tests.free_port import free_port

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from contextlib import AbstractContextManager

    from playwright.sync_api import Browser, Page, ViewportSize

_NAMES = ("chromium", "chromium-browser", "google-chrome")
_ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
_START_S, _STOP_S = 60, 30
_PHONE_PX: ViewportSize = {"width": 390, "height": 844}
_DESK_PX: ViewportSize = {"width": 1280, "height": 900}


def _find_browser() -> str:
    """Return the browser's program; without one the test is skipped, in CI it fails."""
    found = next(filter(None, map(shutil.which, _NAMES)), None)
    if found is None:
        reason = f"no headless browser is installed (looked for {', '.join(_NAMES)})"
        if os.environ.get("CI"):
            pytest.fail(f"{reason}; in CI it must be there")
        pytest.skip(reason)
    return found


@pytest.fixture(scope="module")
def find_browser() -> Callable[[], str]:
    """What looks for the browser's program."""
    return _find_browser


@pytest.fixture(scope="module")
def browser(find_browser: Callable[[], str]) -> Iterator[Browser]:
    """The browser, closed again at the end; a busy machine has time to show what is awaited."""
    program = find_browser()
    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=program, args=_ARGUMENTS)
        yield started
        started.close()


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    """A tab as wide as a phone that has asked nothing of the outside world in the end."""
    yield from _tab(browser, _PHONE_PX, 2)


def _tab(browser: Browser, size_px: ViewportSize, dots: float) -> Iterator[Page]:
    context = browser.new_context(viewport=size_px, device_scale_factor=dots)
    tab = context.new_page()
    outside: list[str] = []
    tab.on("request", lambda request: outside.append(request.url))
    yield tab
    context.close()
    local = ("http://127.0.0.1:", "ws://127.0.0.1:", "data:", "blob:")
    assert [url for url in outside if not url.startswith(local)] == []


@pytest.fixture
def desk(browser: Browser) -> Iterator[Page]:
    """A tab as wide as a desk's screen, alike."""
    yield from _tab(browser, _DESK_PX, 1)


@pytest.fixture
def page_address(tmp_path: Path) -> Iterator[str]:
    """The address of the page, served by the command, with records of its own."""
    with _served("app", "--store", str(tmp_path / "records"), home=tmp_path) as address:
        yield address


@pytest.fixture
def serve() -> Callable[..., AbstractContextManager[str]]:
    """What serves the page by a command until it is left."""
    return _served


@pytest.fixture(scope="module")
def serve_whole() -> Callable[..., AbstractContextManager[str]]:
    """The same for all tests of a module."""
    return _served


@contextmanager
def _served(*words: str, home: Path) -> Iterator[str]:
    """Serve the page by the command of these words; yield its address."""
    port = free_port()
    program = str(Path(sys.executable).with_name("spikecheck"))
    command = [program, *words, "--port", str(port)]
    log = home / "server.log"
    environment = {**os.environ, "HOME": str(home)}
    with (
        log.open("wb") as out,
        subprocess.Popen(command, stdout=out, stderr=out, env=environment) as server,
    ):
        try:
            _wait_until_up(port, server, log)
            yield f"http://127.0.0.1:{port}"
        finally:
            server.terminate()  # not Ctrl-C: jobs that run in the background of a shell ignore it
            server.wait(_STOP_S)


@pytest.fixture(scope="session")
def go_to() -> Callable[[Page, str], None]:
    """Open another page by the menu, also where it stands under "More"."""

    def go(tab: Page, title: str) -> None:
        link = tab.get_by_role("link", name=title, exact=True)
        tab.get_by_test_id("stPopoverButton").first.wait_for()  # drawn after all links beside it
        if not link.is_visible():
            tab.get_by_test_id("stPopoverButton").first.click()
        link.click()

    return go


@pytest.fixture
def keep_picture(tmp_path: Path) -> Callable[[Page, str], None]:
    """Take a picture of the whole page; kept where SPIKECHECK_SCREENSHOTS says."""
    folder = Path(os.environ.get("SPIKECHECK_SCREENSHOTS") or tmp_path)
    folder.mkdir(parents=True, exist_ok=True)

    def take(tab: Page, name: str) -> None:
        rows_px = tab.evaluate("document.querySelector('[data-testid=stMain]').scrollHeight")
        before = tab.viewport_size
        tab.set_viewport_size({"width": before["width"], "height": rows_px})
        tab.screenshot(path=folder / f"{name}.png")
        tab.set_viewport_size(before)

    return take


def _wait_until_up(port: int, server: subprocess.Popen[bytes], log: Path) -> None:
    end = time.monotonic() + _START_S
    while time.monotonic() < end and server.poll() is None:
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/_stcore/health", timeout=5):
                return
        except (urllib.error.URLError, TimeoutError, ConnectionError):
            time.sleep(0.2)
    pytest.fail(f"the page did not come up within {_START_S} s:\n{log.read_text()}")
