"""When a page has come to rest."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

_PATIENCE_MS = 30_000


def at_rest(tab: Page) -> None:
    """Wait until the page runs no more, and nothing on it is out of date or fades in or out.

    A tap takes a moment to reach the server: before this, wait for what the tap is to show. A form
    sent while a page runs was seen to get lost.
    """
    tab.wait_for_function(
        """() =>
          document.querySelector('[data-testid=stApp]')?.dataset.testScriptState === 'notRunning'
          && document.querySelector('[data-stale=true]') === null
          && document.getAnimations().every(one =>
               one.playState !== 'running' || one.effect.getComputedTiming().endTime === Infinity)
        """,
        timeout=_PATIENCE_MS,
    )
