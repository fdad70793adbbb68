"""What each channel of the networks' answers says; the contract between fitting and reading.

A cell of a map stands for 4 x 4 px of the input; cell i covers px 4i to 4i + 3. Probabilities are
given as logits. A member that several channels belong to names the first of them.
"""

from __future__ import annotations

from enum import IntEnum


class OverviewMap(IntEnum):
    """Channels of the overview network's ``maps``, (N, 6, 128, 128)."""

    SPIKE = 0
    """Logit: the spike in focus (rachis, glumes, florets; not awns, not peduncle)."""
    OTHER_SPIKE = 1
    LN_SCALE = 2
    """ln of the px/mm of the input."""
    LN_SCALE_VARIANCE = 3
    """ln of the variance of that."""
    DIRECTION = 4
    """4, 5: row and column component of the unit vector from base to tip."""


class OverviewGlobal(IntEnum):
    """Columns of the overview network's ``globals``, (N, 8): logits on the whole photo."""

    SPIKE_CLOSE = 0
    SEVERAL_SPIKES = 1
    CUT_OFF = 2
    OCCLUDED = 3
    NOT_PREPARED = 4
    DEFOCUS = 5
    MOTION = 6
    BADLY_EXPOSED = 7


class FloretMap(IntEnum):
    """Channels of the florets network's ``maps``, (N, 20, rows / 4, columns / 4).

    What is said of an anther or a floret holds in the cell of its centre only.
    """

    TISSUE = 0
    """0 to 2: logits background, spike, something over or beside it."""
    ANTHER_HEAT = 3
    """Logit of the heat of anther centres."""
    ANTHER_PIXEL = 4
    """4 to 7: logits no anther, green, yellow, dehisced."""
    NEAR_ANTHESIS = 8
    BROKEN = 9
    ANTHER_SIZE = 10
    """10, 11: ln of height and width of its visible part in the strip, mm."""
    FLORET_HEAT = 12
    """Logit of the heat of centres of florets that face the camera, clipped or not."""
    CLIPPED = 13
    CAVITY = 14
    """Logit of the share of the opening that can be looked into."""
    FLORET_SIZE = 15
    """15, 16: ln of height and width of its box in the strip, mm."""
    HOLDS_ANTHER = 17
    """Logit that an anther shows in it."""
    LEFT = 18
    """Logit that it stands left of the axis as it lies in the input; 0 for front ones."""
    UNCUT = 19
    """Logit that the cell is tissue of a floret that was not cut."""


OVERVIEW_CHANNELS, OVERVIEW_GLOBALS, FLORET_CHANNELS = 6, 8, 20
