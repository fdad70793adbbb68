"""The spike in a photo: where it is and which way it points."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import UsageError

if TYPE_CHECKING:
    from numpy.typing import NDArray

_PLANE = 2
_LEAST_OUTLINE = 3
_LEAST_AXIS = 2


@dataclass(frozen=True, slots=True, eq=False)
class Spike:
    """Outline and axis of one spike.

    Parameters
    ----------
    outline
        float64 array of shape (N, 2), N >= 3: closed polygon of (row, column), px of the upright
        full-resolution image; the last point is not repeated.
    axis
        float64 array of shape (M, 2), M >= 2: line of (row, column) from base to tip, px.
    cut_off
        Whether the spike itself (not its peduncle or awns) leaves the frame.
    hidden_share
        Share of the axis length that something lies over, 0..1.

    Raises
    ------
    UsageError
        If an array has another shape or a value is out of range.
    """

    outline: NDArray[np.float64]
    axis: NDArray[np.float64]
    cut_off: bool
    hidden_share: float

    def __post_init__(self) -> None:
        for name, array, least in (
            ("outline", self.outline, _LEAST_OUTLINE), ("axis", self.axis, _LEAST_AXIS),
        ):  # fmt: skip
            if array.ndim != _PLANE or array.shape[1] != _PLANE or array.shape[0] < least:
                raise UsageError(f"{name} needs shape (at least {least}, 2), got {array.shape}")
        if not 0 <= self.hidden_share <= 1:
            raise UsageError(f"hidden_share lies in 0..1, got {self.hidden_share}")

    @property
    def length_px(self) -> float:
        """Length of the axis, px."""
        steps = np.diff(self.axis, axis=0)
        return float(np.hypot(steps[:, 0], steps[:, 1]).sum())
