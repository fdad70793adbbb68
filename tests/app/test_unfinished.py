"""Checks that were begun and not recorded: the newest in sight, every other one a tap further."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from season_steps import CROSS
from spikecheck.bench_check import take_photo
from spikecheck.bench_check.keeping import keep_photos
from spikecheck.store.drafts import new_draft
from spikecheck.thresholds import load_thresholds

if TYPE_CHECKING:
    from collections.abc import Callable

    from streamlit.testing.v1.element_tree import Block

    from spikecheck.store import Store
    from visitor import Visitor


def begun(store: Store, png: Callable[[int], bytes], count: int) -> list[str]:
    """Begin ``count`` checks, an hour after each other; return their ids, the newest first."""
    photo = take_photo(png(1), file="1.png", thresholds=load_thresholds())
    now = datetime.now(UTC)
    drafts = [new_draft("", now=now - timedelta(hours=hour)) for hour in range(count)]
    for number, draft in enumerate(drafts, start=1):
        keep_photos(store, [photo], before=draft, owner="", by="Ilse", cross=CROSS, spike=number)
    return [draft.id for draft in drafts]


def offered(block: Block) -> list[str]:
    """Return the ids that this part of the page offers to go on with."""
    keys = [str(one.key) for one in block.button]
    return [key.removeprefix("go-on-") for key in keys if key.startswith("go-on-")]


def folded(visitor: Visitor) -> list[tuple[str, list[str]]]:
    """Return what folds out and holds such checks: its words, and the checks."""
    found = [(one.label, offered(one)) for one in visitor.page.expander]
    return [(label, ids) for label, ids in found if ids]


@pytest.mark.parametrize(("count", "words"), [(4, "1 older one"), (6, "3 older ones")])
def test_older_ones_are_folded_away_and_every_one_can_be_reached(
    visitor: Visitor, store: Store, png: Callable[[int], bytes], count: int, words: str
):
    ids = begun(store, png, count)
    visitor.page.run()
    assert offered(visitor.page.main) == ids  # each once, the newest first
    assert folded(visitor) == [(words, ids[3:])]
    visitor.page.button(f"go-on-{ids[-1]}").click().run()
    assert visitor.page.number_input("spike").value == count
    assert "Photo 1: 1.png" in visitor.said()


def test_three_are_all_in_sight_and_one_left_out_makes_room(
    visitor: Visitor, store: Store, png: Callable[[int], bytes]
):
    ids = begun(store, png, 4)
    visitor.page.run()
    visitor.page.button(f"leave-{ids[0]}").click().run()
    assert offered(visitor.page.main) == ids[1:]
    assert folded(visitor) == []
