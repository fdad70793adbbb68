"""A small map of one spike as a drawing in SVG: where on it a place is, and the words for it.

The map is the photo's outline turned until the straight line from base to tip points up, so that
left and right are those of the florets' names. Nothing is straightened: a bent spike stays bent and
is known again in the hand. A slender one is drawn wider than it is, to make room for marks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

import numpy as np

from spikecheck.imaging.marks import MARKS, RIM, VERMILLION, Shape
from spikecheck.language import N_, _
from spikecheck.vocabulary.floret import JudgedFloret, Side
from spikecheck.vocabulary.geometry import Point

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.imaging.marks import Colour
    from spikecheck.vocabulary.floret import Floret
    from spikecheck.vocabulary.spike import Spike

BODY: Colour = (226, 234, 214)
"""Ground of the spike on the map: paler than any mark."""
SHEET: Colour = (255, 255, 255)
"""Ground of the map."""

_HEIGHT, _WIDTH = 260.0, 120.0  # units of the drawing; wider where the spike is
_BAND = 32.0  # above the tip and below the base, for the words and a mark at the end
_SIDE_ROOM = 28.0  # to either side, for marks and counts
_WIDEST_STRETCH = 2.0
_HALO = 'stroke="rgb({},{},{})" stroke-width="3.5" paint-order="stroke"'.format(*SHEET)
_OTHER, _HERE, _COUNT = 4.0, 10.0, 14.0  # radii of marks, height of counts


def place_words(floret: Floret) -> str:
    """Return where a floret is: ``"Left side, floret 4 from the base"``."""
    number = floret.id[1:]
    if not number.isdecimal():
        return _(_SIDES[floret.side])
    return _(_COUNTED[floret.side]).format(number=number)


_SIDES = {Side.LEFT: N_("Left side"), Side.RIGHT: N_("Right side"), Side.FRONT: N_("Facing you")}
_COUNTED = {
    Side.LEFT: N_("Left side, floret {number} from the base"),
    Side.RIGHT: N_("Right side, floret {number} from the base"),
    Side.FRONT: N_("Facing you, floret {number} from the base"),
}


def tip_up(axis: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the turn that brings the tip of a spike up.

    Parameters
    ----------
    axis
        float64 of shape (M, 2): (row, column) from base to tip, px of the photo.

    Returns
    -------
    ndarray of float64, shape (2, 2)
        ``place @ turn`` gives (right, up) of a (row, column). A turn, never a mirror. A closed axis
        leaves the photo as it is.
    """
    along = axis[-1] - axis[0]
    length = float(np.hypot(*along))
    row, column = (-1.0, 0.0) if length == 0 else along / length
    return np.array([[column, row], [-row, column]])


def quarter_turns(axis: NDArray[np.float64]) -> int:
    """Return by how many quarters, counterclockwise, a picture is turned to have the tip up, 0..3.

    Parameters
    ----------
    axis
        As in :func:`tip_up`.
    """
    row, column = axis[-1] - axis[0]
    if abs(row) >= abs(column):
        return 2 if row > 0 else 0
    return 1 if column > 0 else 3


def spike_map(spike: Spike, florets: Sequence[JudgedFloret], *, here: JudgedFloret | Point) -> str:
    """Draw the map.

    Parameters
    ----------
    spike
        Outline and axis.
    florets
        All that were seen in the photo.
    here
        What the map is to show: one of the florets, or a place in the photo.

    Returns
    -------
    str
        An SVG drawing of its own, tip up. The florets on the side of ``here`` are counted from the
        base up to it. No text of people or files is in it.
    """
    sheet = _Sheet(spike, florets, here)
    rim = f'stroke="{_css(RIM)}"'
    ground = f'<rect width="{sheet.width:.1f}" height="{_HEIGHT:g}" rx="8" fill="{_css(SHEET)}"/>'
    body = f'points="{sheet.points(spike.outline)}" fill="{_css(BODY)}" stroke-width="1.5"'
    axis = f'points="{sheet.points(spike.axis)}" fill="none" stroke-dasharray="4 3"'
    parts = [ground, f"<polygon {body} {rim}/>", f"<polyline {axis} {rim}/>"]
    chosen = here.floret if isinstance(here, JudgedFloret) else None
    parts += [
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{_OTHER}" fill="{_css(SHEET)}" '
        f'stroke="{_css(RIM)}" stroke-width="1.2"/>'
        for judged in florets
        for x, y in [sheet.place(judged.floret.centre)]
        if chosen is None or judged.floret.id != chosen.id
    ]
    if chosen is not None:
        parts += _counts(sheet, florets, chosen)
    parts.append(_mark(sheet, here))
    middle = sheet.width / 2
    parts += [_word(_("tip"), middle, 14), _word(_("base"), middle, _HEIGHT - 5)]
    name = place_words(chosen) if chosen is not None else _("Outside the florets")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {sheet.width:.1f} {_HEIGHT:g}" '
        f'width="{sheet.width:.0f}" height="{_HEIGHT:g}" role="img" '
        f'aria-label="{escape(name)}">{"".join(parts)}</svg>'
    )


class _Sheet:
    """Where a place of the photo lies on the map."""

    def __init__(
        self, spike: Spike, florets: Sequence[JudgedFloret], here: JudgedFloret | Point
    ) -> None:
        self._turn = tip_up(spike.axis)
        seen = [judged.floret.centre for judged in florets]
        seen.append(here.floret.centre if isinstance(here, JudgedFloret) else here)
        shown = np.vstack(
            [spike.outline, spike.axis, [(point.row, point.column) for point in seen]]
        )
        turned = shown @ self._turn
        low, high = turned.min(axis=0), turned.max(axis=0)
        span = np.maximum(high - low, 1.0)
        self._scale = (_HEIGHT - 2 * _BAND) / span[1]
        across = span[0] * self._scale
        self._stretch = float(np.clip((_WIDTH - 2 * _SIDE_ROOM) / across, 1.0, _WIDEST_STRETCH))
        self.width = float(max(across * self._stretch + 2 * _SIDE_ROOM, _WIDTH))
        self._middle = (low[0] + high[0]) / 2
        self._top = high[1]

    def all(self, places: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return x to the right and y down of (row, column)s."""
        turned = places @ self._turn
        x = self.width / 2 + (turned[:, 0] - self._middle) * self._scale * self._stretch
        return np.column_stack([x, _BAND + (self._top - turned[:, 1]) * self._scale])

    def place(self, point: Point) -> tuple[float, float]:
        """Return x and y of one place."""
        x, y = self.all(np.array([[point.row, point.column]], dtype=np.float64))[0]
        return float(x), float(y)

    def points(self, line: NDArray[np.float64]) -> str:
        """Return a line as SVG writes it."""
        return " ".join(f"{x:.1f},{y:.1f}" for x, y in self.all(line))


def _counts(sheet: _Sheet, florets: Sequence[JudgedFloret], chosen: Floret) -> list[str]:
    """Return the numbers on the side of the chosen floret, from the base up to it."""
    if not chosen.id[1:].isdecimal():
        return []
    last = int(chosen.id[1:])
    aside = -1 if chosen.side is Side.LEFT else 1
    counted = []
    for judged in florets:
        floret = judged.floret
        number = floret.id[1:]
        if floret.side is not chosen.side or not number.isdecimal() or int(number) > last:
            continue
        x, y = sheet.place(floret.centre)
        off = (_HERE if int(number) == last else _OTHER) + 3
        anchor = "end" if aside < 0 else "start"
        weight = "bold" if int(number) == last else "normal"
        counted.append(
            f'<text x="{x + aside * off:.1f}" y="{y + _COUNT / 3:.1f}" text-anchor="{anchor}" '
            f'font-family="sans-serif" font-size="{_COUNT:g}" font-weight="{weight}" '
            f'fill="{_css(RIM)}" {_HALO}>{int(number)}</text>'
        )
    return counted


def _mark(sheet: _Sheet, here: JudgedFloret | Point) -> str:
    """Return the sign at the place itself, large, in a dark rim."""
    shape, colour = Shape.TRIANGLE, VERMILLION
    point = here if isinstance(here, Point) else here.floret.centre
    if isinstance(here, JudgedFloret):
        shape, colour = MARKS[here.status].shape, MARKS[here.status].colour
    x, y = sheet.place(point)
    drawn = f'fill="{_css(colour)}" stroke="{_css(RIM)}" stroke-width="2.5" class="here"'
    if shape is Shape.CIRCLE:
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{_HERE:g}" {drawn}/>'
    from spikecheck.imaging.canvas import shape_corners

    corners = " ".join(
        f"{x + _HERE * column:.1f},{y + _HERE * row:.1f}" for row, column in shape_corners(shape)
    )
    return f'<polygon points="{corners}" stroke-linejoin="round" {drawn}/>'


def _word(text: str, x: float, y: float) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="middle" font-family="sans-serif" '
        f'font-size="13" fill="{_css(RIM)}">{escape(text)}</text>'
    )


def _css(colour: Colour) -> str:
    return "rgb({},{},{})".format(*colour)
