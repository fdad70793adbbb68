"""The numbers of one crop's season, and where each comes from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Basis(StrEnum):
    """What a number rests on."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice"
    FROM_MEMORY = "from memory"
    OWN_JUDGEMENT = "own judgement"


_COUNTED = {"stage_least", "stage_most", "anthers_per_floret"}


@dataclass(frozen=True, slots=True)
class SeasonNumber:
    """One number with its documentation.

    Parameters
    ----------
    name
        Name of the field of :class:`SeasonNumbers`.
    value
        What holds: the shipped number or the user's own.
    default
        The shipped number.
    unit, reason, source
        Unit; why this number; where it comes from.
    basis
        What the shipped number rests on.
    crop
        Whose number it is: ``"wheat"`` where the crop has none of its own.
    least, most
        What a user may set, inclusive.
    """

    name: str
    value: float
    default: float
    unit: str
    reason: str
    source: str
    basis: Basis
    crop: str
    least: float
    most: float

    @property
    def changed(self) -> bool:
        """Whether a user changed it."""
        return self.value != self.default

    @property
    def counted(self) -> bool:
        """Whether only whole numbers make sense: of things that are counted, and of codes."""
        return self.name in _COUNTED


@dataclass(frozen=True, slots=True)
class SeasonNumbers:
    """Numbers of one crop; units, reasons and sources stand in ``entries``.

    Parameters
    ----------
    crop
        The crop asked for.
    base_c, upper_c
        Between which temperatures warmth counts.
    emasculate_within
        How long a chosen spike may wait for emasculation, degree-days.
    receptive_first, receptive_best, receptive_last
        When a stigma takes pollen, degree-days since emasculation.
    receptive_first_spread, receptive_best_spread, receptive_last_spread
        How far each may be off, either way.
    valid_clean, valid_near_anthesis
        How long a check holds, degree-days: usually, and where an anther near anthesis was seen.
    harvest_least, harvest, harvest_most
        When seed is ripe, degree-days since pollination.
    stage_least, stage_most
        Growth stages at which spikes are chosen.
    anthers_per_floret
        Anthers in one floret.
    gap_most_h
        The longest gap of a logger that is bridged, hours.
    outlook_days
        From how many last days the coming temperature is taken.
    assumed_c, assumed_spread_c
        How warm it is taken to be where nothing is known, and how far that may be off.
    entries
        Every number above with its documentation, in this order.
    """

    crop: str
    base_c: float
    upper_c: float
    emasculate_within: float
    receptive_first: float
    receptive_first_spread: float
    receptive_best: float
    receptive_best_spread: float
    receptive_last: float
    receptive_last_spread: float
    valid_clean: float
    valid_near_anthesis: float
    harvest_least: float
    harvest: float
    harvest_most: float
    stage_least: float
    stage_most: float
    anthers_per_floret: float
    gap_most_h: float
    outlook_days: float
    assumed_c: float
    assumed_spread_c: float
    entries: tuple[SeasonNumber, ...]

    def entry(self, name: str) -> SeasonNumber:
        """Return the documentation of the number ``name``, one of the fields."""
        return next(entry for entry in self.entries if entry.name == name)

    @property
    def borrowed(self) -> tuple[str, ...]:
        """Names of the numbers that are another crop's, since this one has none of its own."""
        return tuple(entry.name for entry in self.entries if entry.crop != self.crop)
