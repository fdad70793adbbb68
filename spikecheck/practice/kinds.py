"""Kinds of leftovers: by stage, by how much of them shows, by third of the spike."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.vocabulary import AntherStage
from spikecheck.vocabulary.third import Third, third_at

if TYPE_CHECKING:
    from spikecheck.practice.answers import Item, LeftoverAnther
    from spikecheck.thresholds.practice import PracticeThresholds


class SizeClass(StrEnum):
    """How much of an anther shows."""

    SMALL = "small"
    MIDDLE = "middle"
    LARGE = "large"


Trait = AntherStage | SizeClass | Third
TRAITS: tuple[Trait, ...] = (*AntherStage, *SizeClass, *Third)


@dataclass(frozen=True, slots=True)
class Kind:
    """What a leftover is like.

    Parameters
    ----------
    stage
        Stage by its look.
    size
        How much of it shows; None where nobody measured it.
    third
        Where on the spike it is.
    """

    stage: AntherStage
    size: SizeClass | None
    third: Third

    @property
    def traits(self) -> tuple[Trait, ...]:
        """Stage, size where it is known, and third."""
        return (self.stage, *(() if self.size is None else (self.size,)), self.third)


def kind_of(leftover: LeftoverAnther, numbers: PracticeThresholds) -> Kind:
    """Return the kind of ``leftover``; a class begins at its lower bound."""
    area_mm2 = leftover.visible_area_mm2
    size: SizeClass | None = SizeClass.MIDDLE
    if area_mm2 is None:
        size = None
    elif area_mm2 < numbers.small_below_mm2:
        size = SizeClass.SMALL
    elif area_mm2 >= numbers.large_from_mm2:
        size = SizeClass.LARGE
    return Kind(leftover.stage, size, third_at(leftover.position))


def worth_showing(item: Item, numbers: PracticeThresholds) -> bool:
    """Return whether a person can be asked for what is in a photo: it is clean, or enough shows."""
    areas = [one.visible_area_mm2 for one in item.leftovers]
    return item.clean or any(area is None or area >= numbers.seen_from_mm2 for area in areas)
