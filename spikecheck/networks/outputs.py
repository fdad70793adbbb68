"""What the channels of the networks' maps mean; shared by those that fit and those that read.

A cell of a map stands for 4 x 4 px of the input. Probabilities are given as logits.
"""

from __future__ import annotations

from enum import IntEnum


class OverviewMap(IntEnum):
    """Channels of the overview network's ``maps``, (N, 6, 128, 128)."""

    SPIKE = 0
    """Logit: the spike in focus (rachis, glumes, florets; not awns, not peduncle)."""
    OTHER = 1
    """Logit: another spike, or another plant's."""
    LN_SCALE = 2
    """ln(px/mm) at the resolution of the square."""
    LN_SCALE_LN_VARIANCE = 3
    """ln of the variance of that."""
    TIP_ROW = 4
    """Row component of the unit vector from base to tip (down is positive)."""
    TIP_COLUMN = 5
    """Column component of it."""


class OverviewGlobal(IntEnum):
    """Columns of the overview network's ``globals``, (N, 8), logits; the last three are spare."""

    SPIKE_CLOSE = 0
    SEVERAL_SPIKES = 1
    CUT_OFF = 2
    OCCLUDED = 3
    NOT_PREPARED = 4


class FloretsMap(IntEnum):
    """Channels of the florets network's ``maps``, (N, 20, rows / 4, columns / 4)."""

    BACKGROUND = 0
    """Logits 0 to 2 belong together: background, spike, something over or beside it."""
    SPIKE = 1
    OCCLUDER = 2
    ANTHER_CENTRE = 3
    """Logit of the heat of anther centres."""
    NO_ANTHER = 4
    """Logits 4 to 7 belong together: no anther, green, yellow, dehisced anther."""
    GREEN = 5
    YELLOW = 6
    DEHISCED = 7
    NEAR_ANTHESIS = 8
    """Logit, on anthers."""
    BROKEN = 9
    """Logit, on anthers."""
    ANTHER_LN_HEIGHT = 10
    """ln of the height of the anther's visible part in the strip, mm."""
    ANTHER_LN_WIDTH = 11
    FLORET_CENTRE = 12
    """Logit of the heat of centres of florets that face the camera."""
    CLIPPED = 13
    """Logit, at floret centres."""
    CAVITY_SEEN = 14
    """Logit of the share of the opening that can be looked into."""
    FLORET_LN_HEIGHT = 15
    """ln of the height of the floret's box in the strip, mm."""
    FLORET_LN_WIDTH = 16
    ANTHER_SHOWS = 17
    """Logit that an anther shows in this floret, at floret centres."""
    LEFT = 18
    """Logit that the floret stands left of the axis, at floret centres."""
    UNCUT = 19
    """Logit that a cell shows uncut tissue: a central floret or a whole spikelet."""
