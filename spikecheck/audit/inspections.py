"""What a second look found, spike by spike, and counted by technician or day."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from datetime import date

    from spikecheck.audit.spikes import SpikeName


@dataclass(frozen=True, slots=True)
class Inspection:
    """One spike looked at again.

    Parameters
    ----------
    spike
        Which one.
    technician
        Who emasculated it.
    day
        The local day of the emasculation.
    bad
        Whether an anther was found, or the look was in doubt.
    """

    spike: SpikeName
    technician: str
    day: date
    bad: bool


@dataclass(frozen=True, slots=True)
class Count:
    """Bad spikes among those looked at.

    Parameters
    ----------
    name
        Whose or of when.
    inspected
        Spikes looked at, 1 or more.
    bad
        Bad ones among them.
    """

    name: str
    inspected: int
    bad: int

    def __post_init__(self) -> None:
        if self.inspected < 1 or not 0 <= self.bad <= self.inspected:
            raise UsageError(
                f"{self.bad} bad of {self.inspected} spikes cannot be", where=self.name,
                cure="Count again",
            )  # fmt: skip

    @property
    def share(self) -> float:
        """Share of bad spikes, 0..1."""
        return self.bad / self.inspected


def by_technician(inspections: Iterable[Inspection]) -> tuple[Count, ...]:
    """Return the counts of each technician, by name."""
    return _counted(inspections, lambda one: one.technician)


def by_day(inspections: Iterable[Inspection]) -> tuple[Count, ...]:
    """Return the counts of each day, in order, named as ISO 8601 writes them."""
    return _counted(inspections, lambda one: one.day.isoformat())


def days_of_technicians(inspections: Iterable[Inspection]) -> dict[str, tuple[Count, ...]]:
    """Return each technician's counts by day, both in order."""
    parts: dict[str, list[Inspection]] = defaultdict(list)
    for one in inspections:
        parts[one.technician].append(one)
    return {name: by_day(parts[name]) for name in sorted(parts)}


def _counted(
    inspections: Iterable[Inspection], key: Callable[[Inspection], str]
) -> tuple[Count, ...]:
    parts: dict[str, list[bool]] = defaultdict(list)
    for one in inspections:
        parts[key(one)].append(one.bad)
    return tuple(Count(name, len(bad), sum(bad)) for name, bad in sorted(parts.items()))
