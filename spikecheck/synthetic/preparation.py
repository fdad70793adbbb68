"""What was done to a spike before the photo."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Preparation:
    """What was done to the spike before the photo.

    Parameters
    ----------
    clipped_share
        Share of the florets whose tops are cut.
    central_share
        Share of the spikelets that still have a central floret.
    spikelets
        Least and most spikelets left.
    turned_away_share
        Share of the florets on the near face whose opening cannot be looked into.
    """

    clipped_share: float = 1.0
    central_share: float = 0.0
    spikelets: tuple[int, int] = (10, 15)
    turned_away_share: float = 0.0
