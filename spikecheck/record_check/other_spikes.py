"""Whether photos are filed beside another spike already."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.language import _, listing
from spikecheck.vocabulary.words import spike_name

if TYPE_CHECKING:
    from spikecheck.store.store import Store
    from spikecheck.vocabulary.check_result import CheckResult


def told_of_other_spikes(
    store: Store, result: CheckResult, *, cross: str | None, spike: int
) -> str:
    """Return a line that names the other spikes beside which a photo is filed; empty if none is.

    A photo shows one spike, so its verdict holds for one. The record that is wrong may be either,
    so nothing is refused.

    Parameters
    ----------
    store
        The records.
    result
        The check, not yet recorded or recorded.
    cross, spike
        The spike it is of; ``cross`` is None before one is chosen.

    Raises
    ------
    StoreError
        If the records cannot be read.
    """
    found = store.spikes_of_photos([entry.sha256 for entry in result.photos])
    others = [spike_name(*one) for one in found if one != (cross, spike)]
    if not others:
        return ""
    return _("A photo is recorded with {spikes} already: make sure which spike it shows.").format(
        spikes=listing(others)
    )
