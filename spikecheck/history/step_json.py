"""Steps as JSON objects, and back without loss."""

from __future__ import annotations

import dataclasses
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from spikecheck.errors import ChainError, UsageError
from spikecheck.language import _
from spikecheck.vocabulary.audit_steps import AuditDecision, LeftoverMark, Leftovers
from spikecheck.vocabulary.entry import Step
from spikecheck.vocabulary.steps import DETAIL_OF, ThirdCount
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Mapping

    from spikecheck.vocabulary.steps import StepDetail, StepKind


def moment_text(moment: datetime) -> str:
    """Return ``moment`` as ISO 8601 in UTC."""
    return moment.astimezone(UTC).isoformat()


def step_data(step: Step) -> dict[str, object]:
    """Return ``step`` as an object for JSON, its kind apart."""
    detail = dataclasses.asdict(step.detail)
    if detail.get("blind"):
        # Left out where it is as it should be: steps written before it was asked are spelled alike.
        del detail["blind"]
    return {
        "detail": _plain(detail),
        "at": moment_text(step.at),
        "by": step.by,
        "session": step.session,
        "note": step.note,
    }


def read_step(kind: StepKind, data: Mapping[str, Any]) -> Step:
    """Return the step written by :func:`step_data`.

    Raises
    ------
    ChainError
        If the object is not what that function writes.
    """
    try:
        return Step(
            detail=_detail(kind, data["detail"]),
            at=datetime.fromisoformat(data["at"]),
            by=data["by"],
            session=data["session"],
            note=data["note"],
        )
    except (KeyError, TypeError, ValueError, UsageError) as error:
        raise ChainError(
            _("a step {kind} cannot be read ({error})").format(kind=kind, error=error)
        ) from error


def _detail(kind: StepKind, data: Mapping[str, Any]) -> StepDetail:
    values = dict(data)
    if values.get("verdict") is not None:
        values["verdict"] = Verdict(values["verdict"])
    if values.get("decision") is not None:
        values["decision"] = AuditDecision(values["decision"])
    if values.get("leftovers") is not None:
        values["leftovers"] = Leftovers(values["leftovers"])
        values["marks"] = tuple(LeftoverMark(**mark) for mark in values["marks"])
    if values.get("pollen_at") is not None:
        values["pollen_at"] = datetime.fromisoformat(values["pollen_at"])
    if values.get("thirds") is not None:
        values["thirds"] = tuple(ThirdCount(**third) for third in values["thirds"])
    for name in ("photos", "overlays"):
        if name in values:
            values[name] = tuple(values[name])
    detail: StepDetail = DETAIL_OF[kind](**values)
    return detail


def _plain(value: object) -> object:
    match value:
        case dict():
            return {key: _plain(one) for key, one in value.items()}
        case list() | tuple():
            return [_plain(one) for one in value]
        case datetime():
            return moment_text(value)
        case Verdict() | AuditDecision() | Leftovers():
            return value.value
        case _:
            return value
