"""Which numbers each network must bring along in its ``model.toml``, because they fit it alone.

They are chosen on tuning images after the network was fitted. What holds for any network stands
in ``spikecheck/thresholds/networks.toml`` instead.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OverviewTuned:
    """Limits of the overview network, table ``[tuned]``; probabilities are 0..1.

    Parameters
    ----------
    spike_least
        From this probability on a cell belongs to the spike in focus.
    other_least
        From this probability on a cell belongs to another spike.
    spike_close_least
        Below this probability of the whole photo there is no spike to judge.
    several_least, cut_off_least, occluded_least, not_prepared_least
        From this probability of the whole photo on there is more than one spike, the spike leaves
        the frame, something lies over it, it is not prepared.
    blurred_least
        From this probability on, of being out of focus or moved, whichever is higher, the whole
        photo is not clear.
    scale_widening
        How many of the network's own standard deviations of ln(px/mm) the bounds of the scale lie
        from its best value.
    strangeness_most
        Above this the photo is unlike those the network learned from.
    """

    spike_least: float
    other_least: float
    spike_close_least: float
    several_least: float
    cut_off_least: float
    occluded_least: float
    not_prepared_least: float
    blurred_least: float
    scale_widening: float
    strangeness_most: float


@dataclass(frozen=True, slots=True)
class FloretsTuned:
    """Limits of the florets network, table ``[tuned]``; probabilities are 0..1.

    Parameters
    ----------
    floret_least
        A peak of the heat of floret centres is a floret from this height on.
    anther_least
        A peak of the heat of anther centres is a mark from this height on.
    anther_pixel_least
        A cell belongs to an anther from this probability on.
    clipped_least
        A floret's top is cut from this probability on.
    clipped_least_if_unprepared
        The same on a spike that the overview takes for unprepared.
    near_anthesis_least, broken_least
        An anther is near anthesis, or broken, from this probability on.
    strangeness_most
        Above this the strip is unlike those the network learned from.
    """

    floret_least: float
    anther_least: float
    anther_pixel_least: float
    clipped_least: float
    clipped_least_if_unprepared: float
    near_anthesis_least: float
    broken_least: float
    strangeness_most: float


@dataclass(frozen=True, slots=True)
class LogitScaling:
    """Turns a logit into a calibrated probability, ``1 / (1 + exp(-(a * logit + b)))``.

    Stands in the table ``[calibration]`` of the florets network as ``floret_a``, ``floret_b``,
    ``anther_a`` and ``anther_b``.

    Parameters
    ----------
    a, b
        Slope and offset.
    """

    a: float
    b: float

    def probability(self, logit: float) -> float:
        """Return the calibrated probability, 0..1."""
        # tanh neither over- nor underflows
        return 0.5 * (1.0 + math.tanh(0.5 * (self.a * logit + self.b)))
