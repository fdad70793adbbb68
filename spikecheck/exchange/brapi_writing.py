"""Writing BrAPI v2.1: the list responses of crossing projects, planned crosses and crosses."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from spikecheck.exchange import brapi_fields as at

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.exchange.exchange_set import (
        CheckedSpike,
        CrossingProject,
        ExchangedCross,
        ExchangeSet,
    )
    from spikecheck.vocabulary import Parent, SpikeRecord

Json = dict[str, Any]


def to_brapi(exchanged: ExchangeSet) -> dict[str, Json]:
    """Return the list responses of BrAPI v2.1 by the names of their endpoints.

    Returns
    -------
    dict
        ``crossingprojects``, ``plannedcrosses`` and ``crosses``, each
        ``{"metadata": …, "result": {"data": […]}}`` in a single page, ready for :mod:`json`.
    """
    projects = {one.cross.id: one.cross.project for one in exchanged.planned}
    return {
        at.PROJECTS: _response(_project(one) for one in exchanged.projects),
        at.PLANNED: _response(_planned(one) for one in exchanged.planned),
        at.CROSSES: _response(
            _spike(one, projects.get(one.record.cross, "")) for one in exchanged.spikes
        ),
    }


def brapi_texts(exchanged: ExchangeSet) -> dict[str, str]:
    """Return the same as JSON text, one file an endpoint."""
    return {
        endpoint: json.dumps(response, ensure_ascii=False, indent=1) + "\n"
        for endpoint, response in to_brapi(exchanged).items()
    }


def _response(entities: Iterable[Json]) -> Json:
    data = list(entities)
    pagination = {
        "currentPage": 0, "pageSize": max(1, len(data)), "totalCount": len(data), "totalPages": 1,
    }  # fmt: skip
    metadata = {"datafiles": [], "pagination": pagination, "status": []}
    return {"metadata": metadata, "result": {"data": data}}


def _project(one: CrossingProject) -> Json:
    return {
        "crossingProjectDbId": one.name,
        "crossingProjectName": one.name,
        **_said({"commonCropName": one.crop, "crossingProjectDescription": one.description}),
    }


def _planned(one: ExchangedCross) -> Json:
    cross = one.cross
    own = {
        "createdAt": cross.created_at.isoformat(),
        "crop": cross.crop,
        **_said({"purpose": cross.purpose, "note": cross.note}),
    }
    if cross.seeds_wanted is not None:
        own["seedsWanted"] = cross.seeds_wanted
    for side, parent in (("female", one.female), ("male", one.male)):
        if parent is not None:
            own[side] = {
                "createdAt": parent.created_at.isoformat(),
                **_said({"accession": parent.accession, "pedigree": parent.pedigree}),
            }
    return {
        "plannedCrossDbId": cross.id,
        "plannedCrossName": cross.id,
        "crossType": "SELF" if cross.female == cross.male else "BIPARENTAL",
        **_in_project(cross.project),
        "parent1": _parent(cross.female, "FEMALE", one.female),
        "parent2": _parent(cross.male, "MALE", one.male),
        "additionalInfo": {at.OWN: own},
    }


def _parent(name: str, kind: str, parent: Parent | None = None) -> Json:
    place = parent.place if parent else ""
    return {
        "germplasmDbId": name,
        "germplasmName": name,
        "parentType": kind,
        **_said({"observationUnitName": place}),
    }


def _spike(one: CheckedSpike, project: str) -> Json:
    record = one.record
    male = record.pollinated_male or record.male
    own = _own(record)
    if record.control or male != record.male:
        own["plannedMale"] = record.male
    entity = {
        "crossDbId": f"{record.cross}:{record.spike}",
        "crossName": f"{record.cross} spike {record.spike}",
        "crossType": "SELF" if record.control else "BIPARENTAL",
        "plannedCrossDbId": record.cross,
        "plannedCrossName": record.cross,
        **_in_project(project),
        "parent1": _parent(record.female, "SELF" if record.control else "FEMALE"),
    }
    if not record.control:
        entity["parent2"] = _parent(male, "MALE")
    return {
        **entity,
        "pollinationEvents": _pollination(record),
        "crossAttributes": _attributes(one),
        "additionalInfo": {at.OWN: own},
    }


def _pollination(record: SpikeRecord) -> list[Json]:
    if record.pollinated_at is None:
        return []
    event: Json = {
        "pollinationNumber": "1",
        "pollinationTimeStamp": record.pollinated_at.isoformat(),
    }
    if record.seeds is not None:
        event["pollinationSuccessful"] = record.seeds > 0
    return [event]


def _attributes(one: CheckedSpike) -> list[Json]:
    record = one.record
    values: list[tuple[str, object]] = [
        (at.VERDICT, record.verdict.value if record.verdict else None),
        (at.LEFTOVERS, one.leftovers),
        *((at.PHOTO, photo) for photo in one.photos),
        (at.GROWTH_STAGE, record.growth_stage),
        (at.TECHNICIAN, record.emasculated_by or None),
    ]
    return [
        {"crossAttributeName": name, "crossAttributeValue": str(value)}
        for name, value in values
        if value is not None
    ]


def _own(record: SpikeRecord) -> Json:
    own: Json = {}
    for field, key in (at.TEXTS | at.FLAGS).items():
        if value := getattr(record, field):
            own[key] = value
    for field, key in at.NUMBERS.items():
        if (value := getattr(record, field)) is not None:
            own[key] = value
    for field, key in at.MOMENTS.items():
        if (value := getattr(record, field)) is not None:
            own[key] = value.isoformat()
    if record.computed_verdict is not None:
        own["computedVerdict"] = record.computed_verdict.value
    if record.thirds is not None:
        own["thirds"] = [{"seeds": one.seeds, "florets": one.florets} for one in record.thirds]
    return own


def _in_project(project: str) -> Json:
    return _said({"crossingProjectDbId": project, "crossingProjectName": project})


def _said(texts: dict[str, str]) -> Json:
    """Return what is not empty."""
    return {key: text for key, text in texts.items() if text}
