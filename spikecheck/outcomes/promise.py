"""What the verdict promised beside what came."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.intervals import upper_limit
from spikecheck.outcomes.controls import controls_needed
from spikecheck.outcomes.rates import Measure
from spikecheck.outcomes.wording import counted, percent, plural, trials_name

if TYPE_CHECKING:
    from spikecheck.outcomes.rates import Rate


@dataclass(frozen=True, slots=True)
class Promise:
    """A share that was promised.

    Parameters
    ----------
    what
        What it is the share of, for people: "of passed spikes still hold an anther". It is a share
        of spikes that pass; the bound of a calibration is one of spikes with a leftover, and has to
        be turned round with how common leftovers are and how many spikes pass.
    low, high
        Its interval, ``0 <= low <= high <= 1``, the upper end above 0; with a bound alone the low
        end is 0.
    """

    what: str
    high: float
    low: float = 0.0

    def __post_init__(self) -> None:
        if not (0 <= self.low <= self.high <= 1 and self.high > 0):
            raise UsageError(
                f"a promise lies in 0..1, low before high, got {self.low} to {self.high}"
            )


class Standing(StrEnum):
    """How a promise stands."""

    KEPT = "kept"
    BROKEN = "broken"
    BETTER = "better than promised"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class Comparison:
    """A promise beside what came.

    Parameters
    ----------
    promise
        What was promised.
    came
        What was counted, or None when nothing was.
    standing
        Broken: the whole interval of what came lies above the promise. Better: it lies below.
        Kept: the one-sided upper limit of what came is not above the promise. Else open. Where
        spikes differ more than chance explains, the interval by spike decides all three.
    needed
        How many more, all without an event, would show that it is kept; 0 unless it is open, and
        where spikes differ.
    sentence
        The same in words.
    """

    promise: Promise
    came: Rate | None
    standing: Standing
    needed: int
    sentence: str


def compare_with_promise(promise: Promise, came: Rate | None, measure: Measure) -> Comparison:
    """Return the promise beside what came of the same kind.

    Parameters
    ----------
    promise
        Of the check; a promise about spikes is compared with spikes, one about seed with seed.
    came
        What was counted, such as :func:`~spikecheck.outcomes.seed.passed_with_selfing`.
    measure
        What ``came`` counts, also when there is none.
    """
    standing = _standing(promise, came)
    needed = 0
    if standing is Standing.OPEN and _by_spike(came) is None:
        events, trials = (came.events, came.trials) if came else (0, 0)
        needed = controls_needed(promise.high, seen=events, florets=trials)
    return Comparison(
        promise, came, standing, needed, _sentence(promise, came, standing, needed, measure)
    )


def _standing(promise: Promise, came: Rate | None) -> Standing:
    if promise.high == 1:
        return Standing.KEPT
    if came is None:
        return Standing.OPEN
    by_spike = _by_spike(came)
    low, high = by_spike or (came.low, came.high)
    if low > promise.high:
        return Standing.BROKEN
    if high < promise.low:
        return Standing.BETTER
    most = by_spike[1] if by_spike else upper_limit(came.events, came.trials)
    return Standing.KEPT if most <= promise.high else Standing.OPEN


def _by_spike(came: Rate | None) -> tuple[float, float] | None:
    """Return the interval by spike where spikes differ more than chance explains."""
    if came is None or not came.varies or came.by_spike_low is None or came.by_spike_high is None:
        return None
    return came.by_spike_low, came.by_spike_high


def _sentence(
    promise: Promise, came: Rate | None, standing: Standing, needed: int, measure: Measure
) -> str:
    promised = (
        f"at most {percent(promise.high)}" if not promise.low
        else f"{percent(promise.low)} to {percent(promise.high)}"
    )  # fmt: skip
    head = f"Promised: {promised} {promise.what}."
    if came is not None:
        head = f"{head} Came: {counted(came)}."
        if by_spike := _by_spike(came):
            head += (
                " Spikes differ more than chance explains: by spike it is "
                f"{percent(by_spike[0])} to {percent(by_spike[1])}."
            )
    elif standing is Standing.OPEN:
        head = f"{head} Nothing was counted yet."
    one, many = trials_name(measure)
    # Not every anther that is left sheds pollen, and not every seed is tested.
    seed = " as far as seed shows it" if measure is Measure.PASSED_WITH_SELFING else ""
    if standing is Standing.OPEN and not needed:
        return f"{head} Too few spikes to tell."
    return {
        Standing.KEPT: f"{head} The promise is kept{seed}.",
        Standing.BROKEN: (
            f"{head} That is more than was promised: do not rely on a pass until you know why; "
            "look at the spikes concerned, and calibrate on photos of your own."
        ),
        Standing.BETTER: f"{head} That is less than was promised.",
        Standing.OPEN: (
            f"{head} Too few to tell: {plural(needed, f'more {one}', f'more {many}')} without "
            f"selfed seed would show that the promise is kept{seed}."
        ),
    }[standing]
