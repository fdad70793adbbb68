"""A second reader who does not know what the first one said, and what both say together.

The answers meet only here. A spike passes only where both say so: whoever is in doubt sends it to
review.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime

    from spikecheck.audit.spikes import SpikeName


# The order of rows and columns of a table of verdicts.
VERDICTS = (Verdict.PASS, Verdict.REVIEW)


@dataclass(frozen=True, slots=True)
class SpikeReading:
    """What one reader says of one spike.

    Parameters
    ----------
    spike
        Which one.
    reader
        Who; never empty.
    answer
        A verdict, or another class of those that are compared.
    at
        When, UTC.
    """

    spike: SpikeName
    reader: str
    answer: str
    at: datetime

    def __post_init__(self) -> None:
        if not self.reader:
            raise UsageError("a reading needs a reader", where=str(self.spike), cure="Say who")


@dataclass(frozen=True, slots=True)
class ReadingPair:
    """Both readings of one spike, by two people.

    Raises
    ------
    UsageError
        If they are of two spikes or by one person.
    """

    first: SpikeReading
    second: SpikeReading

    def __post_init__(self) -> None:
        if self.first.spike != self.second.spike:
            raise UsageError(f"{self.first.spike} and {self.second.spike} are two spikes")
        if self.first.reader == self.second.reader:
            raise UsageError(
                f"{self.first.reader} read it both times", where=str(self.spike),
                cure="Have another person read it: nobody is blind to their own answer",
            )  # fmt: skip

    @property
    def spike(self) -> SpikeName:
        """Which spike."""
        return self.first.spike

    @property
    def same(self) -> bool:
        """Whether both gave the same answer."""
        return self.first.answer == self.second.answer

    @property
    def verdict(self) -> Verdict:
        """What holds for the spike: pass only where both readers said so."""
        both_pass = self.first.answer == self.second.answer == Verdict.PASS
        return Verdict.PASS if both_pass else Verdict.REVIEW


@dataclass(frozen=True, slots=True)
class PairedReadings:
    """Readings matched by spike.

    Parameters
    ----------
    pairs
        Spikes read twice, by name.
    first_only, second_only
        Spikes read once, by name.
    """

    pairs: tuple[ReadingPair, ...]
    first_only: tuple[SpikeName, ...]
    second_only: tuple[SpikeName, ...]


def pair_readings(
    firsts: Iterable[SpikeReading], seconds: Iterable[SpikeReading]
) -> PairedReadings:
    """Match first and second readings by spike.

    Raises
    ------
    UsageError
        If a spike has two first or two second readings, or one person read it both times.
    """
    first, second = _by_spike(firsts, "first"), _by_spike(seconds, "second")
    return PairedReadings(
        tuple(ReadingPair(first[name], second[name]) for name in sorted(first.keys() & second)),
        tuple(sorted(first.keys() - second)),
        tuple(sorted(second.keys() - first)),
    )


def agreement_table(
    pairs: Iterable[ReadingPair], classes: Sequence[str] = VERDICTS
) -> tuple[tuple[int, ...], ...]:
    """Return how often each pair of answers came, as kappa is worked out from.

    Parameters
    ----------
    pairs
        Spikes read twice.
    classes
        The possible answers, in their order where they have one.

    Returns
    -------
    tuple of tuple of int
        Shape (k, k): rows are the first reader's answers, columns the second's.

    Raises
    ------
    UsageError
        If a class stands twice or an answer is none of them.
    """
    place = {answer: k for k, answer in enumerate(classes)}
    if len(place) != len(classes):
        raise UsageError(f"a class stands twice: {', '.join(classes)}")
    table = [[0] * len(classes) for _ in classes]
    for pair in pairs:
        for reading in (pair.first, pair.second):
            if reading.answer not in place:
                raise UsageError(
                    f"{reading.answer!r} is no answer here", where=str(pair.spike),
                    cure=f"Choose one of {', '.join(classes)}",
                )  # fmt: skip
        table[place[pair.first.answer]][place[pair.second.answer]] += 1
    return tuple(map(tuple, table))


def _by_spike(readings: Iterable[SpikeReading], turn: str) -> dict[SpikeName, SpikeReading]:
    found: dict[SpikeName, SpikeReading] = {}
    for reading in readings:
        if reading.spike in found:
            raise UsageError(
                f"has two {turn} readings", where=str(reading.spike), cure="Keep one of them"
            )
        found[reading.spike] = reading
    return found
