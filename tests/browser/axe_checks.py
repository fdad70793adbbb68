"""What an automated checker and a ruler say of a page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from axe_playwright_python.sync_playwright import Axe

if TYPE_CHECKING:
    from playwright.sync_api import Page

_STANDARD = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]},
    "rules": {"color-contrast-enhanced": {"enabled": True}},
    "resultTypes": ["violations"],
}
_GRAVE = {"serious", "critical"}
_TARGET_PX = 48


def serious(tab: Page) -> list[str]:
    """What the checker finds that keeps somebody from using the page, a line each."""
    found = Axe().run(tab, options=_STANDARD).response["violations"]
    return [
        f"{one['id']} ({one['impact']}): {node['html'][:200]} {node['failureSummary'][:300]}"
        for one in found
        if one["impact"] in _GRAVE
        for node in one["nodes"]
    ]


def low_targets(tab: Page, *, inside: str = "[data-testid=stMain]") -> list[str]:
    """What can be tapped and is too low, by its words."""
    low: list[str] = tab.evaluate(
        """([inside, least]) => [...document.querySelectorAll(
            `${inside} :is(button, summary, textarea, a[href], [role=group],
                           [data-testid=stRadioOption], [data-testid=stCheckbox] label,
                           input:not([type=file], [type=radio], [type=checkbox]))`)]
          .filter(one => one.checkVisibility({checkOpacity: true, checkVisibilityCSS: true}))
          .map(one => {
            // A field is tapped anywhere in its frame, a line of a list anywhere on it.
            const frame = one.closest(
              '[role=group], [data-testid=stTextInputRootElement], ' +
              '[data-testid=stNumberInputContainer], [class*="st-key-spike-row-"]') ?? one
            return [frame.getBoundingClientRect().height,
                    one.getAttribute('aria-label') || one.innerText || one.outerHTML.slice(0, 120)]
          })
          .filter(([height]) => height < least - 0.5)
          .map(([height, words]) => `${words}: ${Math.round(height)} px`)""",
        [inside, _TARGET_PX],
    )
    return low
