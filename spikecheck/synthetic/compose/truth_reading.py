"""Reads the truth of a composed photo off its map of owners."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.compose.classes import THING, body_table
from spikecheck.synthetic.solid.part import OrganKind
from spikecheck.vocabulary import Box, Point, TrueAnther, TrueFloret

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from spikecheck.synthetic.arrays import Bytes
    from spikecheck.synthetic.compose.placing import Placement
    from spikecheck.synthetic.solid.layers import LayerFloret, LayerRecord

LISTED_MM2 = 0.02  # an anther is listed when this much of it shows
_LEAST_SHOWN_MM2 = 1.0  # a floret is listed when this much of its hull shows
_HULL = frozenset({OrganKind.LEMMA, OrganKind.PALEA, OrganKind.GLUME})
_ACROSS_MM = 1.5  # half the width over which the axis is looked at for things that hide it
_AXIS_POINTS = 240


@dataclass(frozen=True, slots=True)
class SeenFloret:
    """A floret that faces the camera, as the photo shows it.

    Parameters
    ----------
    floret
        As the layer tells it.
    place
        Middle of its opening, or of the floret.
    box
        Extent of what shows of its hull; None when nothing shows.
    cavity_visible
        Share of its opening that can be looked into, 0..1.
    shown_mm2
        How much of its hull shows, mm².
    bare_mm2
        How much of it would show in this frame if nothing were laid over it.
    """

    floret: LayerFloret
    place: Point
    box: Box | None
    cavity_visible: float
    shown_mm2: float
    bare_mm2: float


def seen_florets(
    record: LayerRecord,
    placement: Placement,
    bare: NDArray[np.uint16],
    owner: NDArray[np.uint16],
) -> list[SeenFloret]:
    """Return what the photo shows of each floret that faces the camera.

    Parameters
    ----------
    record
        Truth of the layer.
    placement
        Where the layer lies in the photo.
    bare
        uint16 (H, W): owners of the layer alone.
    owner
        uint16 (H, W): owners of the finished photo.
    """
    kinds = {organ.index: organ.kind for organ in record.organs}
    hulls = [[i for i in floret.organs if kinds[i] in _HULL] for floret in record.florets]
    boxes, counts = _extents(owner, hulls)
    _, before = _extents(bare, hulls)
    mm2 = (record.px_per_mm * placement.stretch) ** 2
    found = []
    for k, floret in enumerate(record.florets):
        own = {*floret.organs, *(a.organ for a in record.anthers if a.floret == floret.id)}
        found.append(SeenFloret(
            floret=floret,
            place=_moved(placement, [floret.centre])[0],
            box=boxes[k],
            cavity_visible=floret.cavity_visible
            * _kept_share(_moved_xy(placement, floret.opening), bare, owner, own),
            shown_mm2=counts[k] / mm2, bare_mm2=before[k] / mm2,
        ))  # fmt: skip
    return found


def listed_florets(seen: Sequence[SeenFloret], shape: tuple[int, int]) -> dict[str, TrueFloret]:
    """Return the florets of a photo by their id in the layer, numbered base to tip by side."""
    listed: dict[str, TrueFloret] = {}
    numbers: dict[str, int] = {}
    for one in sorted(seen, key=lambda s: s.floret.position):
        floret, place = one.floret, one.place
        inside = 0 <= place.row < shape[0] and 0 <= place.column < shape[1]
        if one.box is None or one.shown_mm2 < _LEAST_SHOWN_MM2 or not inside:
            continue
        letter = floret.side.letter
        numbers[letter] = numbers.get(letter, 0) + 1
        centre = place if one.box.grown(2).contains(place) else one.box.centre
        listed[floret.id] = TrueFloret(
            id=f"{letter}{numbers[letter]}", centre=centre, box=one.box, side=floret.side,
            position=floret.position, clipped=floret.clipped,
            cavity_visible=float(np.clip(one.cavity_visible, 0, 1)),
        )  # fmt: skip
    return listed


def counts_for_verdict(one: SeenFloret) -> bool:
    """Whether a floret is large enough in the layer to be asked for."""
    return one.bare_mm2 >= _LEAST_SHOWN_MM2


def seen_anthers(
    record: LayerRecord,
    owner: NDArray[np.uint16],
    px_per_mm: float,
    florets: dict[str, TrueFloret],
) -> tuple[TrueAnther, ...]:
    """Return the anthers of which at least 0.02 mm² shows, with what shows of each."""
    boxes, counts = _extents(owner, [[anther.organ] for anther in record.anthers])
    found = []
    for anther, box, count in zip(record.anthers, boxes, counts, strict=True):
        area = count / px_per_mm**2
        if box is None or area < LISTED_MM2:
            continue
        rows = slice(int(box.top), int(box.bottom)), slice(int(box.left), int(box.right))
        row, column = np.nonzero(owner[rows] == anther.organ)
        home = florets.get(anther.floret) if anther.floret is not None else None
        whole = anther.whole_px / record.px_per_mm**2
        found.append(TrueAnther(
            centre=Point(float(row.mean()) + box.top, float(column.mean()) + box.left), box=box,
            floret=None if home is None else home.id, stage=anther.stage,
            near_anthesis=anther.near_anthesis, broken=anther.broken,
            length_mm=round(float(anther.length_mm), 3),
            visible_share=round(min(1.0, area / max(whole, area * 0.5)), 3),
            visible_area_mm2=round(area, 4),
        ))  # fmt: skip
    return tuple(found)


def seen_outline(record: LayerRecord, owner: NDArray[np.uint16]) -> tuple[Point, ...] | None:
    """Return the outline of the spike without stem and awns; None when it does not show."""
    mask = body_table(record.organs)[owner].astype(np.uint8)
    whole = cv2.morphologyEx(mask, cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8))
    contours, _ = cv2.findContours(whole, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    if not contours:
        return None
    simple = cv2.approxPolyDP(max(contours, key=cv2.contourArea), 2.0, closed=True)[:, 0]
    return tuple(Point(float(y), float(x)) for x, y in simple)


def seen_axis(record: LayerRecord, placement: Placement) -> tuple[Point, ...]:
    """Return the axis from base to tip in the photo."""
    return tuple(_moved(placement, record.axis))


def hidden_share(axis: Sequence[Point], classes: Bytes, px_per_mm: float) -> float:
    """Return the share of the axis, of what lies in the frame, that something lies over."""
    line = np.array([(p.row, p.column) for p in axis])
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))))
    at = np.linspace(0, along[-1], _AXIS_POINTS)
    points = np.stack([np.interp(at, along, line[:, k]) for k in (0, 1)], 1)
    step = np.gradient(points, axis=0)
    step /= np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-9)[:, None]
    across = np.stack((-step[:, 1], step[:, 0]), 1)
    offsets = np.linspace(-_ACROSS_MM, _ACROSS_MM, 5) * px_per_mm
    spots = np.round(points[:, None] + across[:, None] * offsets[None, :, None]).astype(int)
    inside = ((spots >= 0) & (spots < classes.shape)).all(2)
    spots = np.clip(spots, 0, np.array(classes.shape) - 1)
    covered = (classes[spots[..., 0], spots[..., 1]] == THING) & inside
    known = inside.sum(1) >= 3  # noqa: PLR2004  (of five)
    if not known.any():
        return 0.0
    return float((covered.sum(1)[known] >= 3).mean())  # noqa: PLR2004


def _extents(
    owner: NDArray[np.uint16], groups: Iterable[Iterable[int]]
) -> tuple[list[Box | None], list[int]]:
    """Return the box and the number of pixels of each group of owners."""
    from scipy import ndimage

    table = np.zeros(65536, np.int32)
    count = 0
    for number, group in enumerate(groups, start=1):
        table[list(group)] = number
        count = number
    labels = table[owner]
    sizes = np.bincount(labels.ravel(), minlength=count + 1)[1 : count + 1]
    places = ndimage.find_objects(labels, max_label=count)
    boxes = [
        None if place is None
        else Box(float(place[0].start), float(place[1].start),
                 float(place[0].stop), float(place[1].stop))
        for place in places
    ]  # fmt: skip
    return boxes, [int(size) for size in sizes]


def _kept_share(
    rim_xy: NDArray[np.float64],
    bare: NDArray[np.uint16],
    owner: NDArray[np.uint16],
    own: set[int],
) -> float:
    """Return which share of what showed of a floret's inside in the layer still shows."""
    if len(rim_xy) < 3:  # noqa: PLR2004  (a polygon)
        return 0.0
    low = np.floor(rim_xy.min(0)).astype(int) - 1
    high = np.ceil(rim_xy.max(0)).astype(int) + 2
    mask = np.zeros((high[1] - low[1], high[0] - low[0]), np.uint8)
    cv2.fillPoly(mask, [np.round(rim_xy - low).astype(np.int32)], 1)
    height, width = owner.shape
    c0, r0, c1, r1 = max(low[0], 0), max(low[1], 0), min(high[0], width), min(high[1], height)
    whole = int(mask.sum())
    if c0 >= c1 or r0 >= r1 or whole == 0:
        return 0.0
    inside = mask[r0 - low[1] : r1 - low[1], c0 - low[0] : c1 - low[0]] > 0
    codes = list(own)
    before = np.isin(bare[r0:r1, c0:c1], codes) & inside
    after = np.isin(owner[r0:r1, c0:c1], codes) & inside
    if not before.any():
        return 0.0
    return float(after.sum() / before.sum()) * float(inside.sum() / whole)


def _moved_xy(placement: Placement, points: Sequence[Point]) -> NDArray[np.float64]:
    if not points:
        return np.zeros((0, 2))
    return np.asarray(placement.moved(np.array([(p.column, p.row) for p in points])), np.float64)


def _moved(placement: Placement, points: Sequence[Point]) -> list[Point]:
    return [Point(float(y), float(x)) for x, y in _moved_xy(placement, points)]
