"""When a page has come to rest."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

PATIENCE_MS = 30_000
"""How long a busy machine may take to show what is awaited."""


def at_rest(tab: Page) -> None:
    """Wait until the page is drawn to its end, and nothing on it is out of date or fades.

    The page says that it does not run also before its first run. What it draws last, the choice of
    a language, tells that from a page at rest.

    A tap takes a moment to reach the server: before this, wait for what the tap is to show. A form
    sent while a page runs was seen to get lost.
    """
    tab.wait_for_function(
        """() =>
          document.querySelector('[data-testid=stApp]')?.dataset.testScriptState === 'notRunning'
          && document.querySelector('.st-key-language') !== null
          && document.querySelector('[data-stale=true]') === null
          && document.getAnimations().every(one =>
               one.playState !== 'running' || one.effect.getComputedTiming().endTime === Infinity)
        """,
        timeout=PATIENCE_MS,
    )
