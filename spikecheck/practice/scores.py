"""How a person did: what was found and missed, false alarms, time, and whether it gets better.

Everything about a spike counts photos, since a spike is sent to review as a whole: a photo with
leftovers counts as found when at least one of them is marked. Review without a mark on any is
safe, but shows no seeing, and counts as missed here.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

from spikecheck.intervals import wilson_interval
from spikecheck.practice.answers import compare
from spikecheck.practice.detection import detection_of_counts
from spikecheck.practice.kinds import TRAITS, kind_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from spikecheck.practice.answers import Answer, MarkedAnswer
    from spikecheck.practice.detection import Detection
    from spikecheck.practice.kinds import Trait
    from spikecheck.thresholds.practice import PracticeThresholds


@dataclass(frozen=True, slots=True)
class Share:
    """A counted share with its Wilson interval.

    Parameters
    ----------
    events, trials
        Counts, 1 trial or more.
    low, high
        Bounds, 0..1.
    """

    events: int
    trials: int
    low: float
    high: float

    @property
    def value(self) -> float:
        """The share itself, 0..1."""
        return self.events / self.trials

    @classmethod
    def of(cls, outcomes: Iterable[bool], confidence: float) -> Share | None:
        """Return the share of true outcomes, or None where there are no outcomes."""
        counted = list(outcomes)
        if not counted:
            return None
        low, high = wilson_interval(sum(counted), len(counted), confidence)
        return cls(sum(counted), len(counted), low, high)


@dataclass(frozen=True, slots=True)
class Scores:
    """How a person did; None where there was nothing to count.

    Parameters
    ----------
    sensitivity
        Share of photos with leftovers on which one was marked.
    false_alarms
        Share of clean photos sent to review.
    detection
        d' and criterion of these two.
    misses
        Share of leftover anthers not marked, by stage, size class and third; only what was shown.
    astray
        Marks on no leftover.
    median_s
        Median time a photo was looked at, s.
    """

    sensitivity: Share | None
    false_alarms: Share | None
    detection: Detection | None
    misses: tuple[tuple[Trait, Share], ...]
    astray: int
    median_s: float | None


def score(answers: Iterable[Answer], numbers: PracticeThresholds) -> Scores:
    """Return how a person did.

    Parameters
    ----------
    answers
        Of one person, in any order.
    numbers
        Thresholds of practice.

    Returns
    -------
    Scores
        Counts with their intervals.
    """
    marked = [compare(answer, numbers) for answer in answers]
    sensitivity = _sensitivity(marked, numbers)
    false_alarms = Share.of(
        (one.false_alarm for one in marked if one.answer.item.clean), numbers.confidence
    )
    detection = None
    if sensitivity is not None and false_alarms is not None:
        detection = detection_of_counts(
            sensitivity.events, sensitivity.trials, false_alarms.events, false_alarms.trials
        )
    shares = {
        trait: Share.of(missed, numbers.confidence)
        for trait, missed in missed_by_trait(marked, numbers).items()
    }
    return Scores(
        sensitivity=sensitivity,
        false_alarms=false_alarms,
        detection=detection,
        misses=tuple((trait, share) for trait, share in shares.items() if share is not None),
        astray=sum(len(one.astray) for one in marked),
        median_s=median(one.answer.seconds for one in marked) if marked else None,
    )


def learning_curve(
    blocks: Iterable[Sequence[Answer]], numbers: PracticeThresholds
) -> tuple[Share | None, ...]:
    """Return the sensitivity of each block, in order; None where it showed no leftover."""
    return tuple(
        _sensitivity([compare(answer, numbers) for answer in block], numbers) for block in blocks
    )


def missed_by_trait(
    marked: Iterable[MarkedAnswer], numbers: PracticeThresholds
) -> dict[Trait, list[bool]]:
    """Return, for every trait, whether each leftover anther that has it was missed."""
    outcomes: dict[Trait, list[bool]] = {trait: [] for trait in TRAITS}
    for one in marked:
        for leftovers, missed in ((one.found, False), (one.missed, True)):
            for leftover in leftovers:
                for trait in kind_of(leftover, numbers).traits:
                    outcomes[trait].append(missed)
    return outcomes


def _sensitivity(marked: Iterable[MarkedAnswer], numbers: PracticeThresholds) -> Share | None:
    return Share.of((one.hit for one in marked if not one.answer.item.clean), numbers.confidence)
