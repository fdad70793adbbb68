"""Reading BrAPI v2.1: our own files without loss, those of others as far as they go."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.exchange import brapi_fields as at
from spikecheck.exchange.brapi_checking import checked_response, unknown_fields
from spikecheck.exchange.brapi_entity import Entity
from spikecheck.exchange.brapi_spikes import spike_of
from spikecheck.exchange.exchange_set import CrossingProject, ExchangedCross, ExchangeSet
from spikecheck.vocabulary import WHEAT, Cross, Parent
from spikecheck.vocabulary.text import tidy_id, tidy_name, tidy_note

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from spikecheck.exchange.exchange_set import CheckedSpike


@dataclass(frozen=True, slots=True)
class Received:
    """What was in BrAPI files.

    Parameters
    ----------
    exchanged
        What could be taken in.
    ignored
        Fields that were not read and how often each stood there, most frequent first.
    left_out
        Entities that cannot be taken in, each with the reason, and pages that are missing.
    """

    exchanged: ExchangeSet
    ignored: tuple[tuple[str, int], ...]
    left_out: tuple[str, ...]


def from_brapi(
    texts: Mapping[str, str | bytes], *, received_at: datetime, crop: str = WHEAT
) -> Received:  # fmt: skip
    """Return what list responses of BrAPI v2.1 hold.

    Parameters
    ----------
    texts
        JSON by endpoint: ``crossingprojects``, ``plannedcrosses``, ``crosses``; any of them may be
        left out.
    received_at
        Stands for the moment of recording where a file does not tell it; with time zone.
    crop
        Stands where neither a cross nor its project names one.

    Raises
    ------
    UsageError
        If an endpoint is none of these.
    ExchangeError
        If a file does not follow the standard; the message has endpoint, JSON pointer and cure.
    """
    for endpoint in texts:
        if endpoint not in at.ENDPOINTS:
            raise UsageError(
                f"{endpoint} is no endpoint read here", cure=f"Known: {', '.join(at.ENDPOINTS)}"
            )
    return _Receiving(texts, received_at, crop).received()


class _Receiving:
    """One exchange being read, endpoint after endpoint, since later ones look up earlier ones."""

    def __init__(
        self, texts: Mapping[str, str | bytes], received_at: datetime, crop: str
    ) -> None:  # fmt: skip
        self._texts, self._received_at, self._crop = texts, received_at, crop
        self._ignored: Counter[str] = Counter()
        self._left_out: list[str] = []
        self._given: dict[str, int] = {}

    def received(self) -> Received:
        """Return everything."""
        projects = tuple(self._project(one) for one in self._entities(at.PROJECTS))
        crops = {one.name: one.crop for one in projects}
        planned = tuple(
            made
            for one in self._entities(at.PLANNED)
            if (made := self._planned(one, crops)) is not None
        )
        spikes = self._spikes({one.cross.id: one.cross.crop for one in planned})
        ignored = tuple(self._ignored.most_common())
        return Received(ExchangeSet(projects, planned, spikes), ignored, tuple(self._left_out))

    def _entities(self, endpoint: str) -> list[Entity]:
        if endpoint not in self._texts:
            return []
        response = checked_response(self._texts[endpoint], endpoint)
        self._ignored += unknown_fields(response, endpoint)
        pages = ((response.get("metadata") or {}).get("pagination") or {}).get("totalPages") or 1
        if pages > 1:
            self._left_out.append(
                f"{endpoint}: this is one page of {pages}; take in the others too"
            )
        return [
            Entity(endpoint, place, data) for place, data in enumerate(response["result"]["data"])
        ]

    def _project(self, one: Entity) -> CrossingProject:
        return CrossingProject(
            one.first_text("crossingProjectName", "crossingProjectDbId", tidy=tidy_name),
            crop=one.text("commonCropName", tidy_name),
            description=one.text("crossingProjectDescription", tidy_note),
        )

    def _planned(self, one: Entity, crops: dict[str, str]) -> ExchangedCross | None:
        female, male = one.parents()
        if female is None or male is None:
            self._left_out.append(one.without_parents())
            return None
        own = one.own
        project = one.first_text(
            "crossingProjectName", "crossingProjectDbId", tidy=tidy_name, required=False
        )
        cross = Cross(
            id=one.first_text("plannedCrossDbId", "plannedCrossName", tidy=tidy_id),
            female=female.name(),
            male=male.name(),
            note=own.text("note", tidy_note),
            created_at=own.moment("createdAt") or self._received_at,
            purpose=own.text("purpose", tidy_note),
            seeds_wanted=own.number("seedsWanted"),
            crop=own.text("crop", tidy_name) or crops.get(project) or self._crop,
            project=project,
        )
        return ExchangedCross(
            cross,
            self._parent(female, own.inner("female")),
            self._parent(male, own.inner("male")),
        )

    def _parent(self, stated: Entity, own: Entity) -> Parent | None:
        place = stated.text("observationUnitName", tidy_name)
        if not own.data and not place:
            return None
        return Parent(
            name=stated.name(),
            accession=own.text("accession", tidy_name),
            pedigree=own.pedigree("pedigree"),
            place=place,
            created_at=own.moment("createdAt") or self._received_at,
        )

    def _spikes(self, crops: dict[str, str]) -> tuple[CheckedSpike, ...]:
        entities = self._entities(at.CROSSES)
        taken = {
            (one.data.get("plannedCrossDbId"), one.own.number("spike"))
            for one in entities
            if one.own.data
        }
        spikes = []
        for one in entities:
            cross = one.first_text(
                "plannedCrossDbId", "plannedCrossName", "crossDbId", "crossName", tidy=tidy_id
            )
            number = one.own.number("spike") or self._free_number(cross, taken)
            crop = crops.get(cross) or self._crop
            made = spike_of(one, cross, number, crop)
            if made is None:
                self._left_out.append(one.without_parents())
                continue
            spikes.append(made)
            self._ignored += one.ignored
        return tuple(spikes)

    def _free_number(self, cross: str, taken: set[tuple[str | None, int | None]]) -> int:
        """Return the lowest number of a spike that is free in ``cross`` and was not given yet."""
        number = self._given.get(cross, 0) + 1
        while (cross, number) in taken:
            number += 1
        self._given[cross] = number
        return number
