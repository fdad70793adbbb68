"""What each channel of the networks' maps says; the order is the contract with the run time."""

from __future__ import annotations

from enum import IntEnum

UNKNOWN_CLASS = 255
"""Class of a pixel that nobody labelled."""


class PixelClass(IntEnum):
    """Values of a class map (``NAME.classes.png``)."""

    BACKGROUND = 0
    SPIKE = 1
    OVER = 2
    GREEN_ANTHER = 3
    YELLOW_ANTHER = 4
    DEHISCED_ANTHER = 5
    OTHER_SPIKE = 6


class FloretMap(IntEnum):
    """Channels of the florets network; ranges begin at the member and run to the next one."""

    TISSUE = 0
    """0 to 2: logits background, spike, something over it."""
    ANTHER_HEAT = 3
    ANTHER_PIXEL = 4
    """4 to 7: logits no anther, green, yellow, dehisced."""
    NEAR_ANTHESIS = 8
    BROKEN = 9
    ANTHER_SIZE = 10
    """10, 11: ln of height and width, mm at the working scale."""
    FLORET_HEAT = 12
    CLIPPED = 13
    CAVITY = 14
    """Logit of the share of the opening that can be looked into."""
    FLORET_SIZE = 15
    """15, 16: ln of height and width, mm at the working scale."""
    HOLDS_ANTHER = 17
    LEFT = 18
    """Logit that it stands left of the axis as it lies in the input; 0 for front ones."""
    UNCUT = 19
    """Logit that the pixel is tissue of a floret that was not cut."""


FLORET_CHANNELS = 20


class OverviewMap(IntEnum):
    """Channels of the overview network's maps."""

    SPIKE = 0
    OTHER_SPIKE = 1
    LN_SCALE = 2
    """ln of the px/mm of the input."""
    LN_SCALE_VARIANCE = 3
    DIRECTION = 4
    """4, 5: row and column component of the unit vector from base to tip."""


OVERVIEW_CHANNELS = 6


class OverviewGlobal(IntEnum):
    """Logits of the overview network on the whole photo."""

    SPIKE_CLOSE = 0
    SEVERAL_SPIKES = 1
    CUT_OFF = 2
    OCCLUDED = 3
    NOT_PREPARED = 4
    DEFOCUS = 5
    MOTION = 6
    BADLY_EXPOSED = 7


OVERVIEW_GLOBALS = 8
