"""What came of the spikes in a store, and whether verdicts kept their promise."""

from __future__ import annotations

import json
from dataclasses import dataclass
from statistics import fmean
from typing import TYPE_CHECKING

from spikecheck.outcomes import (
    By,
    Measure,
    Promise,
    compare_with_promise,
    controls_needed,
    expected_selfed_share,
    expected_share_sentence,
    neither_crossed_nor_control,
    passed_with_selfing,
    rate_sentence,
    seed_set,
    selfed_seed,
    selfing_in_controls,
)
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from spikecheck.outcomes import Comparison, Rate
    from spikecheck.store import Store
    from spikecheck.vocabulary.spike_record import SpikeRecord

_NAMED_MOST = 10
_MEASURES: tuple[Callable[..., tuple[Rate, ...]], ...] = (
    seed_set, selfing_in_controls, selfed_seed,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class OutcomeReport:
    """Outcomes of a store.

    Parameters
    ----------
    rates
        Seed set, selfing of control florets, selfed share of tested seed, over everything.
    grouped
        The same by what was asked, or empty.
    expected
        The expected share of selfed seed in the harvest, a sentence.
    promises
        What passes promised beside what came.
    bound, controls_seen, controls_needed
        The bound asked for, control florets counted, and how many more without a seed would show
        that selfing is not above it.
    left_out
        Spikes that no rate counts.
    """

    rates: tuple[Rate, ...]
    grouped: tuple[Rate, ...]
    expected: str
    promises: tuple[Comparison, ...]
    bound: float
    controls_seen: int
    controls_needed: int
    left_out: tuple[SpikeRecord, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """The report in plain words."""
        lines = [rate_sentence(rate) for rate in self.rates] or [
            "No spike is threshed yet: nothing can be said of seed set or selfing."
        ]
        # A table has no room to say that an interval is too narrow.
        lines += [
            rate_sentence(one) for one in self.grouped
            if one.varies and (one.low, one.high) == (one.exact_low, one.exact_high)
        ]  # fmt: skip
        lines.append(self.expected)
        lines.append(self._controls_sentence())
        lines += [one.sentence for one in self.promises]
        if self.left_out:
            names = ", ".join(f"{one.cross}/{one.spike}" for one in self.left_out[:_NAMED_MOST])
            more = " and more" if len(self.left_out) > _NAMED_MOST else ""
            lines.append(f"In no count, neither pollinated nor kept as controls: {names}{more}.")
        return tuple(lines)

    def _controls_sentence(self) -> str:
        bound = f"{self.bound * 100:g} %"
        how = "95 %, one-sided, florets taken one by one"
        controls = next((one for one in self.rates if one.measure is Measure.SELFING), None)
        if self.controls_needed == 0:
            if controls and controls.varies and (controls.by_spike_high or 0) > self.bound:
                return (
                    f"Control florets would show that selfing is at most {bound} ({how}); but "
                    "spikes differ more than chance explains, and by spike it may be more: it is "
                    "not shown. It takes more control spikes."
                )
            return f"Control florets show that selfing is at most {bound} ({how})."
        already = f" to the {self.controls_seen} there are" if self.controls_seen else ""
        return (
            f"To show that selfing is at most {bound} ({how}) takes "
            f"{self.controls_needed} more control florets{already}, all without a seed."
        )


def outcome_report(
    store: Store, *, by: By = By.ALL, bound: float, cross: str | None = None
) -> OutcomeReport:
    """Return the outcomes of a store.

    Parameters
    ----------
    store
        Where they are.
    by
        What makes a group.
    bound
        Selfing per control floret that is to be shown, in 0..1.
    cross
        Of one cross only, or None.

    Raises
    ------
    UsageError
        If the bound lies outside of 0..1.
    UnknownCrossError
        If there is no such cross.
    """
    spikes = tuple(store.spikes.all()) if cross is None else store.spikes.of_cross(cross)
    controls = selfing_in_controls(spikes)
    seen = sum(rate.events for rate in controls)
    florets = sum(rate.trials for rate in controls)
    return OutcomeReport(
        rates=tuple(rate for measure in _MEASURES for rate in measure(spikes)),
        grouped=()
        if by is By.ALL
        else tuple(rate for measure in _MEASURES for rate in measure(spikes, by)),
        expected=expected_share_sentence(expected_selfed_share(spikes)),
        promises=_promises(store, spikes),
        bound=bound,
        controls_seen=florets,
        controls_needed=controls_needed(bound, seen=seen, florets=florets),
        left_out=neither_crossed_nor_control(spikes),
    )


def _promises(store: Store, spikes: Sequence[SpikeRecord]) -> tuple[Comparison, ...]:
    """Compare what passes said with what came of those same spikes."""
    told = [
        one for one in spikes
        if one.computed_verdict is Verdict.PASS
        and (one.tested or (one.control and one.threshed_at is not None))
    ]  # fmt: skip
    risks = _risks(store, told)
    comparisons = []
    leftover = _promised(told, risks, "p_leftover")
    if leftover and (mean := fmean(leftover.values())) > 0:
        promise = Promise("of passed spikes still hold an anther", mean)
        came = passed_with_selfing(leftover)
        comparisons.append(compare_with_promise(promise, came, Measure.PASSED_WITH_SELFING))
    # A control has no seed of the cross; of the others each counts as often as its seed was tested.
    tested = [one for one in told if one.tested and not one.control]
    selfed = _promised(tested, risks, "expected_selfed_share")
    if selfed and (mean := fmean(selfed.values(), [one.tested or 0 for one in selfed])) > 0:
        promise = Promise("of the seed of passed spikes is selfed", mean)
        came = next(iter(selfed_seed(selfed)), None)
        comparisons.append(compare_with_promise(promise, came, Measure.SELFED_SEED))
    return tuple(comparisons)


def _promised(
    spikes: Iterable[SpikeRecord], risks: Mapping[int, dict[str, float | None]], name: str
) -> dict[SpikeRecord, float]:
    """Return what the check of each spike promised, of those of which it promised anything."""
    found = {}
    for one in spikes:
        number = None if one.check is None else risks.get(one.check, {}).get(name)
        if number is not None:
            found[one] = number
    return found


def _risks(store: Store, spikes: Iterable[SpikeRecord]) -> dict[int, dict[str, float | None]]:
    numbers = sorted(one.check for one in spikes if one.check is not None)
    results = zip(numbers, store.results(numbers), strict=True)
    return {number: json.loads(text).get("risk", {}) for number, text in results}
