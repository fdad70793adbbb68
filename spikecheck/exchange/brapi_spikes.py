"""Spikes from the crosses of a BrAPI file."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from spikecheck.errors import ExchangeError, UsageError
from spikecheck.exchange import brapi_fields as at
from spikecheck.exchange.brapi_checking import shown
from spikecheck.exchange.exchange_set import CheckedSpike
from spikecheck.vocabulary import SpikeRecord, Verdict
from spikecheck.vocabulary.steps import Selected, ThirdCount
from spikecheck.vocabulary.text import tidy_name, tidy_note

if TYPE_CHECKING:
    from spikecheck.exchange.brapi_entity import Entity

_WHOLE = re.compile(r"[0-9]{1,9}")
_SHA256 = re.compile(r"[0-9a-f]{64}")


def spike_of(one: Entity, cross: str, number: int, crop: str) -> CheckedSpike | None:
    """Return the spike that a cross entity tells of, None if it is no cross of two.

    Raises
    ------
    ExchangeError
        If a value cannot be.
    """
    own = one.own
    control = bool(own.data.get("control"))
    if control:
        female, actual = one.inner("parent1").name(), ""
    else:
        mother, father = one.parents()
        if mother is None or father is None:
            return None
        female, actual = mother.name(), father.name()
    values: dict[str, Any] = {
        field: own.number(key) for field, key in at.NUMBERS.items() if field != "spike"
    }
    values |= {field: bool(own.data.get(key)) for field, key in at.FLAGS.items()}
    values |= {field: own.moment(key) for field, key in at.MOMENTS.items()}
    values |= {field: own.text(key, tidy_note) for field, key in at.TEXTS.items()}
    values["tag"] = values["tag"] or None
    values["crop"] = values["crop"] or crop
    values["computed_verdict"] = _verdict(own.data.get("computedVerdict"))
    values["thirds"] = _thirds(own)
    events = [event for event in one.inners("pollinationEvents") if event.data]
    if events:
        # A spike keeps one pollination; of several the last one counts.
        values["pollinated_at"] = events[-1].moment("pollinationTimeStamp")
        values["pollinated_male"] = actual
        if len(events) > 1:
            one.ignored[f"{one.endpoint}/pollinationEvents before the last"] += len(events) - 1
    attributes = _Attributes(one)
    record = SpikeRecord(
        cross=cross,
        spike=number,
        female=female,
        male=own.text("plannedMale", tidy_name) or actual,
        verdict=attributes.verdict,
        growth_stage=attributes.growth_stage,
        emasculated_by=attributes.technician,
        **values,
    )
    return CheckedSpike(record, tuple(attributes.photos), attributes.leftovers)


class _Attributes:
    """What the crossAttributes tell; names that are not ours are counted as ignored."""

    def __init__(self, one: Entity) -> None:
        self.verdict: Verdict | None = None
        self.leftovers: int | None = None
        self.growth_stage: int | None = None
        self.technician = ""
        self.photos: list[str] = []
        for attribute in one.inners("crossAttributes"):
            name = attribute.data.get("crossAttributeName")
            value = attribute.data.get("crossAttributeValue") or ""
            if name == at.VERDICT:
                if value not in list(Verdict):
                    raise _wrong(attribute, value, "Give pass or review")
                self.verdict = Verdict(value)
            elif name == at.LEFTOVERS:
                self.leftovers = _whole(attribute, value)
            elif name == at.GROWTH_STAGE:
                self.growth_stage = _stage(attribute, value)
            elif name == at.TECHNICIAN:
                self.technician = attribute.text("crossAttributeValue", tidy_name)
            elif name == at.PHOTO:
                if not _SHA256.fullmatch(value):
                    raise _wrong(attribute, value, "Give 64 hexadecimal digits")
                self.photos.append(value)
            else:
                one.ignored[shown(f"{one.endpoint}/crossAttributes {name}")] += 1


def _stage(attribute: Entity, value: str) -> int:
    stage = _whole(attribute, value)
    try:
        Selected(stage)
    except UsageError as error:
        raise _wrong(attribute, value, "Give 0 to 99 (BBCH)") from error
    return stage


def _whole(attribute: Entity, value: str) -> int:
    if not _WHOLE.fullmatch(value):
        raise _wrong(attribute, value, "Give a whole number as text")
    return int(value)


def _wrong(attribute: Entity, value: str, cure: str) -> ExchangeError:
    what = f"{value[:40]!r} cannot be the {attribute.data['crossAttributeName']}"
    return ExchangeError(what, where=attribute.where("crossAttributeValue"), cure=cure)


def _verdict(value: str | None) -> Verdict | None:
    return None if value is None else Verdict(value)


def _thirds(own: Entity) -> tuple[ThirdCount, ThirdCount, ThirdCount] | None:
    thirds = own.inners("thirds")
    if not thirds:
        return None
    try:
        basal, central, apical = (
            ThirdCount(int(one.data["seeds"]), int(one.data["florets"])) for one in thirds
        )  # fmt: skip
    except UsageError as error:
        raise ExchangeError(error.what, where=own.where("thirds"), cure="Correct it") from error
    return basal, central, apical
