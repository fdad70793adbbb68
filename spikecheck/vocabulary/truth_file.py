"""Writes and reads truth files (see :mod:`spikecheck.vocabulary.truth`)."""

from __future__ import annotations

import json
from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING, Any, TypeVar

from spikecheck.errors import TruthError, UsageError
from spikecheck.language import N_, _
from spikecheck.vocabulary.anther import AntherStage
from spikecheck.vocabulary.floret import Side
from spikecheck.vocabulary.geometry import Box, Point
from spikecheck.vocabulary.quality import QualityProblem
from spikecheck.vocabulary.truth import TRUTH_SCHEMA, PhotoTruth, TrueAnther, TrueFloret
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

E = TypeVar("E", bound=StrEnum)
_CURE = N_("Mend the truth file or take it away")


def write_truth(truth: PhotoTruth, path: Path) -> None:
    """Write ``truth`` as JSON to ``path``."""
    path.write_text(json.dumps(_truth_entry(truth), indent=1) + "\n", encoding="utf-8")


def read_truth(path: Path) -> PhotoTruth:
    """Read a truth file.

    Raises
    ------
    TruthError
        If it cannot be read, is no JSON or lacks an entry.
    """
    try:
        entry = json.loads(path.read_text(encoding="utf-8"))
        return _truth(entry)
    except OSError as error:
        raise TruthError(
            _("cannot be read ({reason})").format(reason=error.strerror),
            where=str(path),
            cure=_(_CURE),
        ) from error
    except KeyError as error:
        raise TruthError(
            _("lacks the entry {error}").format(error=error), where=str(path), cure=_(_CURE)
        ) from error
    except (ValueError, TypeError, AttributeError, UsageError) as error:
        raise TruthError(
            _("not understood ({error})").format(error=error), where=str(path), cure=_(_CURE)
        ) from error


def _truth_entry(truth: PhotoTruth) -> dict[str, Any]:
    return {
        "schema": TRUTH_SCHEMA,
        "image": truth.image,
        "width": truth.width,
        "height": truth.height,
        "complete": truth.complete,
        "verdict": truth.verdict,
        "problems": truth.problems,
        "px_per_mm": truth.px_per_mm,
        "outline": _xy_list(truth.outline),
        "axis": _xy_list(truth.axis),
        "families": None if truth.families is None else dict(truth.families),
        "spike": truth.spike,
        "marked_by": truth.marked_by,
        "marked_at": None if truth.marked_at is None else truth.marked_at.isoformat(),
        "florets": None if truth.florets is None else [_floret_entry(f) for f in truth.florets],
        "anthers": [_anther_entry(anther) for anther in truth.anthers],
    }


def _floret_entry(floret: TrueFloret) -> dict[str, Any]:
    return {
        "id": floret.id,
        "x": round(floret.centre.column, 1),
        "y": round(floret.centre.row, 1),
        "box": _box_entry(floret.box),
        "side": floret.side,
        "position": round(floret.position, 4),
        "clipped": floret.clipped,
        "cavity_visible": round(floret.cavity_visible, 3),
    }


def _anther_entry(anther: TrueAnther) -> dict[str, Any]:
    return {
        "floret": anther.floret,
        "x": round(anther.centre.column, 1),
        "y": round(anther.centre.row, 1),
        "box": None if anther.box is None else _box_entry(anther.box),
        "stage": anther.stage,
        "near_anthesis": anther.near_anthesis,
        "broken": anther.broken,
        "length_mm": anther.length_mm,
        "visible_share": anther.visible_share,
        "visible_area_mm2": anther.visible_area_mm2,
    }


def _box_entry(box: Box) -> list[float]:
    return [round(edge, 1) for edge in (box.left, box.top, box.right, box.bottom)]


def _xy_list(points: tuple[Point, ...] | None) -> list[list[float]] | None:
    if points is None:
        return None
    return [[round(point.column, 1), round(point.row, 1)] for point in points]


def _truth(entry: Mapping[str, Any]) -> PhotoTruth:
    florets, problems = entry.get("florets"), entry.get("problems")
    return PhotoTruth(
        image=str(entry["image"]),
        width=int(entry["width"]),
        height=int(entry["height"]),
        anthers=tuple(_anther(anther) for anther in entry["anthers"]),
        complete=bool(entry.get("complete", True)),
        florets=None if florets is None else tuple(_floret(floret) for floret in florets),
        verdict=_enum(Verdict, entry.get("verdict")),
        problems=None if problems is None else tuple(QualityProblem(code) for code in problems),
        px_per_mm=entry.get("px_per_mm"),
        outline=_points(entry.get("outline")),
        axis=_points(entry.get("axis")),
        families=_families(entry.get("families")),
        spike=_text(entry.get("spike")),
        marked_by=_text(entry.get("marked_by")),
        marked_at=_moment(entry.get("marked_at")),
    )


def _floret(entry: Mapping[str, Any]) -> TrueFloret:
    return TrueFloret(
        id=str(entry["id"]),
        centre=Point(float(entry["y"]), float(entry["x"])),
        box=_box(entry["box"]),
        side=Side(entry["side"]),
        position=float(entry["position"]),
        clipped=bool(entry["clipped"]),
        cavity_visible=float(entry["cavity_visible"]),
    )


def _anther(entry: Mapping[str, Any]) -> TrueAnther:
    return TrueAnther(
        centre=Point(float(entry["y"]), float(entry["x"])),
        box=None if entry.get("box") is None else _box(entry["box"]),
        floret=entry.get("floret"),
        stage=_enum(AntherStage, entry.get("stage")),
        near_anthesis=entry.get("near_anthesis"),
        broken=entry.get("broken"),
        length_mm=entry.get("length_mm"),
        visible_share=entry.get("visible_share"),
        visible_area_mm2=entry.get("visible_area_mm2"),
    )


def _box(edges: list[float]) -> Box:
    left, top, right, bottom = (float(edge) for edge in edges)
    return Box(top, left, bottom, right)


def _points(pairs: list[list[float]] | None) -> tuple[Point, ...] | None:
    if pairs is None:
        return None
    return tuple(Point(float(y), float(x)) for x, y in pairs)


def _families(entry: Mapping[str, Any] | None) -> dict[str, str] | None:
    return None if entry is None else {str(kind): str(family) for kind, family in entry.items()}


def _text(value: object) -> str | None:
    return None if value is None else str(value)


def _moment(value: str | None) -> datetime | None:
    if value is None:
        return None
    moment = datetime.fromisoformat(value)
    if moment.tzinfo is None:
        raise ValueError(f"the moment {value} lacks its time zone")
    return moment


def _enum(kind: type[E], value: str | None) -> E | None:
    return None if value is None else kind(value)
