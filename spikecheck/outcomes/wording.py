"""Outcomes in plain sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.outcomes.rates import Measure

if TYPE_CHECKING:
    from spikecheck.outcomes.expected import ExpectedShare
    from spikecheck.outcomes.rates import Rate

_TRIALS = {
    Measure.SEED_SET: ("floret", "florets"),
    Measure.SELFING: ("control floret", "control florets"),
    Measure.SELFED_SEED: ("tested seed", "tested seeds"),
    Measure.PASSED_WITH_SELFING: ("passed spike", "passed spikes"),
}
_EVENTS = {
    Measure.SEED_SET: "set seed",
    Measure.SELFING: "set selfed seed",
    Measure.SELFED_SEED: "selfed",
    Measure.PASSED_WITH_SELFING: "with selfed seed",
}
_LARGE = 0.1
_ALL_BUT = 0.995
_WHOLE = 100


def trials_name(measure: Measure) -> tuple[str, str]:
    """Return what is counted, for one and for several."""
    return _TRIALS[measure]


def percent(share: float) -> str:
    """Return a share in percent, with two figures that count: ``0.67 %``, ``4.9 %``, ``58 %``."""
    if _ALL_BUT <= share < 1:  # 299 of 300 are not all
        text = f"{share * 100:.1f}"
        return "above 99.9 %" if float(text) == _WHOLE else f"{text} %"
    if share == 0 or share >= _LARGE:
        return f"{share:.0%}".replace("%", " %")
    digits = 1 if share >= _LARGE / 10 else 2
    text = f"{share * 100:.{digits}f}"
    return "below 0.01 %" if float(text) == 0 else f"{text} %"


def plural(count: int, one: str, many: str) -> str:
    """Return a count with its noun."""
    return f"{count} {one if count == 1 else many}"


def counted(rate: Rate) -> str:
    """Return counts, share, interval: ``1 of 60 control florets set selfed seed, 1.7 % (…)``."""
    events = _EVENTS[rate.measure]
    return (
        f"{rate.events} of {plural(rate.trials, *_TRIALS[rate.measure])} {events}, "
        f"{percent(rate.share)} (95 % interval {percent(rate.low)} to {percent(rate.high)})"
    )


def rate_sentence(rate: Rate) -> str:
    """Return a rate in words, with a caution where spikes differ."""
    name = f" ({rate.name})" if rate.name else ""
    head = f"{rate.measure.capitalize()}{name}: {counted(rate)}."
    if rate.measure is Measure.PASSED_WITH_SELFING:
        return head
    head = f"{head[:-1]}, from {plural(rate.spikes, 'spike', 'spikes')}."
    differ = " Spikes differ more than chance explains" if rate.varies else ""
    exact = f"{percent(rate.exact_low)} to {percent(rate.exact_high)}"
    if (rate.low, rate.high) != (rate.exact_low, rate.exact_high):
        allowed = f"{differ}; the interval allows for it." if differ else ""
        return f"{head}{allowed} Without regard to spikes it would be {exact}; more spikes help."
    if not differ:
        return head
    by_spike = f"{percent(rate.by_spike_low or 0)} to {percent(rate.by_spike_high or 0)}"
    return f"{head}{differ}, so the interval is too narrow: by spike it is {by_spike}."


def expected_share_sentence(expected: ExpectedShare | None) -> str:
    """Return the expected share of selfed seed in words, or what is missing to tell it."""
    if expected is None:
        return (
            "The share of selfed seed cannot be told: it takes threshed control spikes and "
            "pollinated spikes with seed."
        )
    return (
        f"Expected share of selfed seed: {percent(expected.share)} (95 % interval "
        f"{percent(expected.low)} to {percent(expected.high)}), from "
        f"{plural(expected.control_seeds, 'seed', 'seeds')} of "
        f"{plural(expected.control_florets, 'control floret', 'control florets')} and "
        f"{expected.cross_seeds} of {plural(expected.cross_florets, 'floret', 'florets')} crossed. "
        "It is rather less, since in control florets no foreign pollen competes."
    )
