"""The truth of a render as JSON values and back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from spikecheck.synthetic.solid.layers import LayerAnther, LayerFloret, LayerRecord
from spikecheck.synthetic.solid.part import Organ, OrganKind
from spikecheck.vocabulary import AntherStage, Box, Point, Side

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


def record_entry(record: LayerRecord) -> dict[str, Any]:
    """Return a record as JSON values; places are row, column."""
    return {
        "seed": record.seed,
        "state": record.state,
        "px_per_mm": record.px_per_mm,
        "families": dict(record.families),
        "axis": _pairs(record.axis),
        "organs": [_organ_entry(organ) for organ in record.organs],
        "florets": [_floret_entry(floret) for floret in record.florets],
        "anthers": [_anther_entry(anther) for anther in record.anthers],
    }


def record_from(entry: Mapping[str, Any]) -> LayerRecord:
    """Return the record written as ``entry``.

    Raises
    ------
    KeyError, TypeError, ValueError
        If an entry is missing or not understood.
    """
    return LayerRecord(
        seed=int(entry["seed"]),
        state=str(entry["state"]),
        px_per_mm=float(entry["px_per_mm"]),
        families={str(kind): str(name) for kind, name in entry["families"].items()},
        axis=_points(entry["axis"]),
        organs=tuple(_organ(organ) for organ in entry["organs"]),
        florets=tuple(_floret(floret) for floret in entry["florets"]),
        anthers=tuple(_anther(anther) for anther in entry["anthers"]),
    )


def _organ_entry(organ: Organ) -> list[Any]:
    return [
        organ.index, organ.kind, organ.floret, organ.stage, organ.near_anthesis, organ.broken,
        organ.length_mm, organ.colour_name,
    ]  # fmt: skip


def _organ(entry: Sequence[Any]) -> Organ:
    index, kind, floret, stage, near, broken, length, colour = entry
    return Organ(
        index=int(index), kind=OrganKind(kind), floret=floret,
        stage=None if stage is None else AntherStage(stage), near_anthesis=bool(near),
        broken=bool(broken), length_mm=length, colour_name=str(colour),
    )  # fmt: skip


def _floret_entry(floret: LayerFloret) -> dict[str, Any]:
    return {
        "id": floret.id,
        "centre": _pair(floret.centre),
        "box": _edges(floret.box),
        "side": floret.side,
        "position": round(floret.position, 4),
        "clipped": floret.clipped,
        "cavity_visible": round(floret.cavity_visible, 4),
        "opening": _pairs(floret.opening),
        "organs": [int(index) for index in floret.organs],
    }


def _floret(entry: Mapping[str, Any]) -> LayerFloret:
    return LayerFloret(
        id=str(entry["id"]),
        centre=Point(*entry["centre"]),
        box=Box(*entry["box"]),
        side=Side(entry["side"]),
        position=float(entry["position"]),
        clipped=bool(entry["clipped"]),
        cavity_visible=float(entry["cavity_visible"]),
        opening=_points(entry["opening"]),
        organs=tuple(int(index) for index in entry["organs"]),
    )


def _anther_entry(anther: LayerAnther) -> dict[str, Any]:
    return {
        "organ": anther.organ,
        "floret": anther.floret,
        "stage": anther.stage,
        "near_anthesis": anther.near_anthesis,
        "broken": anther.broken,
        "length_mm": round(anther.length_mm, 3),
        "visible_px": anther.visible_px,
        "whole_px": anther.whole_px,
        "centre": None if anther.centre is None else _pair(anther.centre),
        "box": None if anther.box is None else _edges(anther.box),
    }


def _anther(entry: Mapping[str, Any]) -> LayerAnther:
    return LayerAnther(
        organ=int(entry["organ"]),
        floret=entry["floret"],
        stage=AntherStage(entry["stage"]),
        near_anthesis=bool(entry["near_anthesis"]),
        broken=bool(entry["broken"]),
        length_mm=float(entry["length_mm"]),
        visible_px=int(entry["visible_px"]),
        whole_px=int(entry["whole_px"]),
        centre=None if entry["centre"] is None else Point(*entry["centre"]),
        box=None if entry["box"] is None else Box(*entry["box"]),
    )


def _pair(point: Point) -> list[float]:
    return [round(point.row, 2), round(point.column, 2)]


def _pairs(points: Sequence[Point]) -> list[list[float]]:
    return [_pair(point) for point in points]


def _points(pairs: Sequence[Sequence[float]]) -> tuple[Point, ...]:
    return tuple(Point(*pair) for pair in pairs)


def _edges(box: Box) -> list[float]:
    return [box.top, box.left, box.bottom, box.right]
