"""What a programme's own spikes tell: seeds set after so much thermal time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.errors import SeasonError
from spikecheck.season.clock import growth_range
from spikecheck.season.cumulative import CumulativeThermalTime
from spikecheck.thresholds.season import load_season_numbers

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from spikecheck.season.course import TemperatureCourse
    from spikecheck.thresholds.season import SeasonNumbers
    from spikecheck.vocabulary.spike_record import SpikeRecord


@dataclass(frozen=True, slots=True)
class SeedSet:
    """Seeds of one spike.

    Parameters
    ----------
    cross, spike
        Which.
    degree_days
        Thermal time from emasculation to pollination.
    seeds, florets
        Seeds set of how many florets, ``0 <= seeds <= florets``, ``florets >= 1``.

    Raises
    ------
    SeasonError
        If so many seeds cannot be.
    """

    cross: str
    spike: int
    degree_days: float
    seeds: int
    florets: int

    def __post_init__(self) -> None:
        if self.florets < 1 or not 0 <= self.seeds <= self.florets:
            raise SeasonError(f"{self.seeds} seeds cannot come from {self.florets} florets")


def seed_sets(
    records: Iterable[SpikeRecord],
    *,
    crop: str,
    courses: Mapping[str, Sequence[TemperatureCourse]],
    numbers: SeasonNumbers | None = None,
) -> tuple[SeedSet, ...]:
    """Return the seed set of every threshed spike of ``crop`` that was pollinated.

    Spikes whose temperatures from emasculation to pollination were not all measured are left out,
    as are controls.

    Parameters
    ----------
    records
        Spikes as they stand.
    crop
        Other crops are left out.
    courses
        Measured temperatures by place, a course for each time without a gap.
    numbers
        Of the crop; None takes the shipped ones. Only the temperatures between which warmth counts
        matter.
    """
    known = numbers or load_season_numbers(crop)
    growth = growth_range(known)
    clocks = {
        place: [CumulativeThermalTime.of(course, growth) for course in several]
        for place, several in courses.items()
    }
    found = []
    for record in records:
        if record.crop != crop or record.control:
            continue
        start, end = record.emasculated_at, record.pollinated_at
        seeds, florets = record.seeds, record.seed_florets
        if start is None or end is None or seeds is None or florets is None:
            continue
        for clock in clocks.get(record.place, ()):
            degree_days = float(clock.between(start.timestamp(), end.timestamp()))
            if degree_days >= 0:  # not NaN: all of it is known
                found.append(SeedSet(record.cross, record.spike, degree_days, seeds, florets))
    return tuple(found)
