"""Searches for garbage after a tap leave out what was loaded before."""

from __future__ import annotations

import gc
from typing import TYPE_CHECKING

import pytest

import resources
import who

if TYPE_CHECKING:
    from collections.abc import Iterator

    from visitor import Visitor


@pytest.fixture(autouse=True)
def _as_before() -> Iterator[None]:
    yield
    gc.unfreeze()


def test_each_part_is_left_out_once():
    resources.settle.cache_clear()
    before = gc.get_freeze_count()
    kept = [[number] for number in range(1000)]
    resources.settle("one")
    once = gc.get_freeze_count()
    assert once >= before + len(kept)
    kept += [[number] for number in range(1000)]
    resources.settle("one")
    assert gc.get_freeze_count() == once
    resources.settle("another")
    assert gc.get_freeze_count() >= once + 1000


def test_a_page_that_is_shown_is_left_out(visitor: Visitor):
    gc.unfreeze()
    resources.settle.cache_clear()
    visitor.page.run()
    assert gc.get_freeze_count() > 10_000


def test_a_page_that_waits_behind_the_sign_in_is_not_loaded_yet(
    visitor: Visitor, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(who, "is_to_sign_in", lambda: True)
    gc.unfreeze()
    resources.settle.cache_clear()
    visitor.page.run()
    assert "Sign in" in visitor.labels()
    assert gc.get_freeze_count() == 0
    monkeypatch.undo()
    visitor.page.run()
    assert gc.get_freeze_count() > 10_000
