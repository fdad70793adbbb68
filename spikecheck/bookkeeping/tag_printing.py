"""Gives spikes their tags and prints them."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from spikecheck.bookkeeping.spike_names import spikes_named
from spikecheck.errors import UsageError
from spikecheck.tags import PAPERS_MM, tag_sheets
from spikecheck.vocabulary.cross_tag import CrossTag
from spikecheck.vocabulary.tag_code import new_code

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.store import Store


def printed_tags(
    store: Store, spikes: Iterable[str], *, by: str, paper: str
) -> tuple[bytes, tuple[CrossTag, ...]]:
    """Return the sheets with the tags of spikes as a PDF, and the tags.

    Parameters
    ----------
    store
        Where the tags are recorded before they are printed.
    spikes
        As people name them; they may be new.
    by
        Who prints.
    paper
        ``"a4"`` or ``"letter"``.

    Raises
    ------
    UsageError
        If no spike is named, or there is no such paper.
    UnknownCrossError
        If there is no such cross.
    """
    if paper not in PAPERS_MM:  # told before tags are given that nobody prints
        raise UsageError(f"no paper is called {paper}", cure=f"Known are {', '.join(PAPERS_MM)}")
    named = spikes_named(store, spikes)
    tags = []
    for cross, several in groupby(named, key=lambda one: one[0]):
        numbers = [number for _, number in several]
        given = store.spikes.give_tags(cross, numbers, new_code=new_code, by=by)
        tags += [
            CrossTag(one.tag or "", one.cross, one.female, one.male, one.spike) for one in given
        ]
    return tag_sheets(tags, paper=paper), tuple(tags)
