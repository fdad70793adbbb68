"""The line of the rachis in the picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from spikecheck.synthetic.frame import Pose

_STRAIGHT = 1e-9  # radians per mm; a smaller curve is drawn as this one


@dataclass(frozen=True, slots=True)
class Axis:
    """A gently curved line from the base of the spike to its tip.

    Parameters
    ----------
    row, column
        Its base, px.
    tilt
        Direction at the base, radians clockwise from upwards.
    curve_per_mm
        Change of direction, radians per mm.
    length_mm
        Length from base to tip in the picture, mm.
    px_per_mm
        Scale.
    """

    row: float
    column: float
    tilt: float
    curve_per_mm: float
    length_mm: float
    px_per_mm: float

    def angle_at(self, t_mm: float) -> float:
        """Return the direction at ``t_mm`` from the base, radians clockwise from upwards."""
        return self.tilt + self.curve_per_mm * t_mm

    def place(self, t_mm: float, s_mm: float = 0.0) -> tuple[float, float]:
        """Return (row, column), px, of a point along the line and to its right.

        Before the base (negative ``t_mm``) it goes on with the same curve.
        """
        curve = self.curve_per_mm if abs(self.curve_per_mm) > _STRAIGHT else _STRAIGHT
        start, end = self.tilt, self.angle_at(t_mm)
        up = (np.sin(end) - np.sin(start)) / curve
        right = (np.cos(start) - np.cos(end)) / curve
        row = self.row + (-up + s_mm * np.sin(end)) * self.px_per_mm
        column = self.column + (right + s_mm * np.cos(end)) * self.px_per_mm
        return float(row), float(column)

    def pose(self, t_mm: float, s_mm: float, lean: float, toward: float = 0.0) -> Pose:
        """Return a pose at a point of the line, leaning ``lean`` radians to the right of it."""
        row, column = self.place(t_mm, s_mm)
        return Pose(row, column, self.angle_at(t_mm) + lean, toward)

    def locate(self, row: float, column: float) -> tuple[float, float]:
        """Return the place along the line and the offset to its right, mm, of a pixel."""
        samples = np.linspace(-10, self.length_mm + 15, 300)
        line = np.array([self.place(float(t)) for t in samples])
        nearest = int(np.argmin(np.hypot(line[:, 0] - row, line[:, 1] - column)))
        t = float(samples[nearest])
        angle = self.angle_at(t)
        dr, dc = row - line[nearest, 0], column - line[nearest, 1]
        return t, float((dr * np.sin(angle) + dc * np.cos(angle)) / self.px_per_mm)

    def line(self, points: int = 12) -> list[tuple[float, float]]:
        """Return (row, column), px, of points from base to tip."""
        return [self.place(float(t)) for t in np.linspace(0, self.length_mm, points)]
