"""When to come back to a spike: while its stigmas take pollen, while a check holds, at harvest."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import SeasonError
from spikecheck.language import _
from spikecheck.season.clock import WarmthBasis
from spikecheck.season.cumulative import moment_of

if TYPE_CHECKING:
    from datetime import datetime

    from numpy.typing import NDArray

    from spikecheck.season.clock import ThermalClock
    from spikecheck.thresholds.season import SeasonNumbers
    from spikecheck.vocabulary.spike_record import SpikeRecord

# Degree-days of first, best and last, each with how far it may be off either way.
Span = tuple[tuple[float, float], tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment with its bounds, UTC; None where temperatures are not known that far.

    Parameters
    ----------
    middle
        Most likely.
    early
        If less thermal time is enough and coming days are warm.
    late
        If more is needed and coming days are cold.
    basis
        What the most likely one rests on.
    """

    middle: datetime | None
    early: datetime | None
    late: datetime | None
    basis: WarmthBasis


@dataclass(frozen=True, slots=True)
class Window:
    """When something is best done.

    Parameters
    ----------
    first, best, last
        From when on, when best, and until when.
    """

    first: Moment
    best: Moment
    last: Moment


def receptivity(record: SpikeRecord, clock: ThermalClock) -> Window:
    """Return when the stigmas of an emasculated spike take pollen.

    Raises
    ------
    SeasonError
        If it is not emasculated, or temperatures are not known from then on.
    """
    return _window(_happened(record.emasculated_at, "emasculated"), receptive(clock.numbers), clock)


def valid_until(record: SpikeRecord, clock: ThermalClock) -> Moment:
    """Return until when the latest check holds: much shorter after an anther near anthesis.

    The early bound is the one to rely on where it matters.

    Raises
    ------
    SeasonError
        If it is not checked, or temperatures are not known from then on.
    """
    span = holds(clock.numbers, near_anthesis=record.near_anthesis)
    return _window(_happened(record.checked_at, "checked"), span, clock).last


def harvest(record: SpikeRecord, clock: ThermalClock) -> Window:
    """Return when the seed of a spike is ripe; a control spike counts from its emasculation.

    Raises
    ------
    SeasonError
        If it is not pollinated (a control: not emasculated), or temperatures are not known from
        then on.
    """
    start = (
        _happened(record.emasculated_at, "emasculated")
        if record.control
        else _happened(record.pollinated_at, "pollinated")
    )
    return _window(start, ripening(clock.numbers), clock)


def receptive(numbers: SeasonNumbers) -> Span:
    """Return the window for pollen, degree-days since emasculation."""
    return (
        (numbers.receptive_first, numbers.receptive_first_spread),
        (numbers.receptive_best, numbers.receptive_best_spread),
        (numbers.receptive_last, numbers.receptive_last_spread),
    )


def holds(numbers: SeasonNumbers, *, near_anthesis: bool) -> Span:
    """Return how long a check holds, degree-days since the check."""
    last = numbers.valid_near_anthesis if near_anthesis else numbers.valid_clean
    return ((0.0, 0.0), (0.0, 0.0), (last, 0.0))


def ripening(numbers: SeasonNumbers) -> Span:
    """Return the window for harvest, degree-days since pollination."""
    return ((numbers.harvest_least, 0.0), (numbers.harvest, 0.0), (numbers.harvest_most, 0.0))


def emasculating(numbers: SeasonNumbers) -> Span:
    """Return how long a chosen spike may wait, degree-days since it was chosen."""
    return ((0.0, 0.0), (0.0, 0.0), (numbers.emasculate_within, 0.0))


def anthers_expected(florets: int, numbers: SeasonNumbers) -> int:
    """Return how many anthers a complete emasculation of so many florets pulls."""
    return round(florets * numbers.anthers_per_floret)


def _happened(moment: datetime | None, what: str) -> datetime:
    if moment is None:
        raise SeasonError(
            _("the spike is not {what} yet").format(what=_(what)), cure=_("Record it first")
        )
    return moment


def _window(start: datetime, span: Span, clock: ThermalClock) -> Window:
    seconds = start.timestamp()
    if not clock.middle.knows(seconds):
        raise SeasonError(
            _("no temperatures are known from then on"),
            where=start.isoformat(),
            cure=_("Add the days that are missing"),
        )
    wanted, spread = (np.array(part) for part in zip(*span, strict=True))
    middle = clock.middle.reached(seconds, wanted)
    early = clock.warm.reached(seconds, np.maximum(wanted - spread, 0))
    late = clock.cold.reached(seconds, wanted + spread)
    basis = clock.basis(seconds, middle)
    first, best, last = (_moment(k, middle, early, late, basis) for k in range(3))
    return Window(first, best, last)


def _moment(
    k: int,
    middle: NDArray[np.float64],
    early: NDArray[np.float64],
    late: NDArray[np.float64],
    basis: NDArray[np.str_],
) -> Moment:
    middle_at, early_at, late_at = (
        moment_of(float(several[k])) for several in (middle, early, late)
    )
    return Moment(middle_at, early_at, late_at, WarmthBasis(str(basis[k])))
