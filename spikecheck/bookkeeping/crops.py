"""Crops whose season has numbers."""

from __future__ import annotations

from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.thresholds.season import CROPS


def known_crop(name: str) -> str:
    """Return the crop of this name.

    Raises
    ------
    UsageError
        If there is none; the message lists those there are.
    """
    crop = name.strip().lower()
    if crop not in CROPS:
        raise UsageError(
            _("no crop is called {name}").format(name=name),
            cure=_("Known are {crops}").format(crops=", ".join(CROPS)),
        )
    return crop
