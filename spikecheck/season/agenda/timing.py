"""When the tasks of one place and crop are due, all at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.season.agenda.next_step import spans_of
from spikecheck.season.agenda.tasks import TaskKind
from spikecheck.season.clock import ThermalClock, WarmthBasis
from spikecheck.season.windows import receptive

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.vocabulary.spike_record import SpikeRecord

# A deadline that guards against self-pollination is the earliest that may be.
_GUARDED = {
    TaskKind.EMASCULATE, TaskKind.CHECK, TaskKind.GO_BACK, TaskKind.OPEN_AND_CHECK, TaskKind.BAG,
}  # fmt: skip
_BY_TEXT = {str(basis): basis for basis in WarmthBasis}


@dataclass(frozen=True, slots=True)
class Waiting:
    """A spike that waits for a step.

    Parameters
    ----------
    record
        The spike.
    kind
        What it waits for.
    start
        From when its time runs, seconds since the epoch.
    """

    record: SpikeRecord
    kind: TaskKind
    start: float


@dataclass(frozen=True, slots=True)
class Due:
    """When a task is due.

    Parameters
    ----------
    waiting
        The spike.
    first, best, last
        Seconds since the epoch, NaN where temperatures are not known so far.
    last_early
        The last moment for pollen if less thermal time is enough and coming days are warm; NaN for
        other tasks.
    basis
        What they rest on.
    outlook
        Which outlook of the place comes first after the time begins; their number if none does.
    """

    waiting: Waiting
    first: float
    best: float
    last: float
    last_early: float
    basis: WarmthBasis
    outlook: int


def due_times(
    several: Sequence[Waiting], place_clock: ThermalClock | None, assumed_clock: ThermalClock
) -> list[Due]:
    """Return when each of ``several`` is due.

    Parameters
    ----------
    several
        Spikes of one place and crop.
    place_clock
        Of the place's temperatures, or None where there are none.
    assumed_clock
        For spikes whose time begins when no temperature is known.
    """
    starts = np.array([one.start for one in several])
    known = (
        np.zeros(len(several), dtype=bool) if place_clock is None
        else place_clock.middle.knows(starts)
    )  # fmt: skip
    found: list[Due] = []
    if place_clock is not None and known.any():
        chosen = [one for one, yes in zip(several, known, strict=True) if yes]
        found += _due(chosen, starts[known], place_clock)
    if not known.all():
        chosen = [one for one, yes in zip(several, known, strict=True) if not yes]
        found += _due(chosen, starts[~known], assumed_clock)
    return found


def _due(
    several: Sequence[Waiting], starts: NDArray[np.float64], clock: ThermalClock
) -> list[Due]:  # fmt: skip
    spans = spans_of(clock.numbers)
    middles = {key: tuple(middle for middle, _ in span) for key, span in spans.items()}
    wanted = np.array([middles[one.kind, one.record.near_anthesis] for one in several])
    moments = clock.middle.reached(starts[:, None], wanted)
    guarded = np.array([one.kind in _GUARDED for one in several])
    if guarded.any():
        moments[guarded] = clock.warm.reached(starts[guarded, None], wanted[guarded])
    early = np.full(len(several), np.nan)
    pollen = np.array([one.kind is TaskKind.POLLINATE for one in several])
    if pollen.any():
        last, spread = receptive(clock.numbers)[2]
        early[pollen] = clock.warm.reached(starts[pollen], max(last - spread, 0.0))
    # What the last moment rests on holds for all of them: it reaches farthest.
    bases = clock.basis(starts, moments[:, 2]).tolist()
    outlooks = clock.first_outlook(starts).tolist()
    return [
        Due(one, first, best, last, last_early, _BY_TEXT[basis], outlook)
        for one, (first, best, last), last_early, basis, outlook in zip(
            several, moments.tolist(), early.tolist(), bases, outlooks, strict=True
        )
    ]
