"""What is exchanged with others: projects, planned crosses, spikes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.vocabulary import Cross, Parent, SpikeRecord


@dataclass(frozen=True, slots=True)
class CrossingProject:
    """A crossing project.

    Parameters
    ----------
    name
        As :attr:`~spikecheck.vocabulary.cross.Cross.project` has it, never empty.
    crop
        Crop of its crosses, empty where there are several.
    description
        May be empty.
    """

    name: str
    crop: str = ""
    description: str = ""


@dataclass(frozen=True, slots=True)
class ExchangedCross:
    """A planned cross with what is recorded of its parents.

    Parameters
    ----------
    cross
        The cross.
    female, male
        Its parents as recorded, named as in ``cross``; None where nothing but the name is known.
    """

    cross: Cross
    female: Parent | None = None
    male: Parent | None = None


@dataclass(frozen=True, slots=True)
class CheckedSpike:
    """A spike with what its check found.

    Parameters
    ----------
    record
        The spike as it stands.
    photos
        Hex SHA-256 of the photos of the latest check, in order.
    leftovers
        Leftover anthers that the latest check found, or None without a check.
    """

    record: SpikeRecord
    photos: tuple[str, ...] = ()
    leftovers: int | None = None


@dataclass(frozen=True, slots=True)
class ExchangeSet:
    """What one exchange holds."""

    projects: tuple[CrossingProject, ...] = ()
    planned: tuple[ExchangedCross, ...] = ()
    spikes: tuple[CheckedSpike, ...] = ()


def exchange_set(
    crosses: Iterable[Cross], parents: Iterable[Parent], spikes: Iterable[CheckedSpike]
) -> ExchangeSet:  # fmt: skip
    """Return crosses with their parents, the projects they name, and spikes."""
    by_name = {parent.name: parent for parent in parents}
    planned = tuple(
        ExchangedCross(one, by_name.get(one.female), by_name.get(one.male)) for one in crosses
    )
    crops: dict[str, set[str]] = {}
    for one in planned:
        if one.cross.project:
            crops.setdefault(one.cross.project, set()).add(one.cross.crop)
    projects = tuple(
        CrossingProject(name, crop=next(iter(known)) if len(known) == 1 else "")
        for name, known in crops.items()
    )
    return ExchangeSet(projects, planned, tuple(spikes))
