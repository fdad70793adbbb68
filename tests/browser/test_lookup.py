"""A machine without a browser skips, and says why; in CI that is a failure."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable


@pytest.fixture
def no_browser(monkeypatch: pytest.MonkeyPatch) -> None:
    """No browser is installed."""
    monkeypatch.setattr(shutil, "which", lambda _: None)


def test_without_a_browser_a_test_is_skipped_with_the_reason(
    no_browser: None, find_browser: Callable[[], str], monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.delenv("CI", raising=False)
    with pytest.raises(pytest.skip.Exception, match="no headless browser is installed"):
        find_browser()


def test_in_ci_a_missing_browser_is_a_failure(
    no_browser: None, find_browser: Callable[[], str], monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match="in CI it must be there"):
        find_browser()
