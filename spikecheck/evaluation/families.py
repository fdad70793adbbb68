"""The scores of whole families of images: every light, background, plant, camera and pose apart."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.evaluation.summary import score
from spikecheck.evaluation.targets import VISIBLE_MM2

if TYPE_CHECKING:
    from spikecheck.evaluation.records import Proportion
    from spikecheck.evaluation.scores import Evaluation


@dataclass(frozen=True, slots=True)
class FamilyLine:
    """How one family does.

    Parameters
    ----------
    kind, family
        Such as ``"light"`` and ``"overcast"``.
    photos
        How many of its photos were compared.
    leftover_passed
        Of its spikes in good photos of which 0.25 mm² or more of an anther shows, how many pass.
    clean_passed
        Of its clean, well photographed spikes, how many pass.
    recall
        Of the anthers of 0.25 mm² and more in its good photos, how many were found.
    false_marks
        Mean number of false marks in a good photo; None when that cannot be said.
    cavity_f1
        Of florets that can be looked into; None without such florets.
    """

    kind: str
    family: str
    photos: int
    leftover_passed: Proportion
    clean_passed: Proportion
    recall: Proportion
    false_marks: float | None
    cavity_f1: float | None


def kinds_of_family(evaluation: Evaluation) -> tuple[str, ...]:
    """Return the kinds of family that the images name, such as ``"light"``, by name."""
    return tuple(sorted({kind for photo in evaluation.comparisons for kind in photo.families}))


def by_family(evaluation: Evaluation, kind: str) -> dict[str, Evaluation]:
    """Return the evaluation of each family of one kind apart, by the family's name.

    Raises
    ------
    UsageError
        If no image names a family of this kind.
    """
    kinds = kinds_of_family(evaluation)
    if kind not in kinds:
        known = f"Known here: {', '.join(kinds)}" if kinds else "No truth file here names families"
        raise UsageError(f"no image names its {kind}", cure=known)
    families = sorted({photo.families[kind] for photo in evaluation.comparisons
                       if kind in photo.families})  # fmt: skip
    return {
        family: score(
            [
                outcome
                for outcome in evaluation.outcomes
                if outcome.truth is not None and (outcome.truth.families or {}).get(kind) == family
            ],
            [photo for photo in evaluation.comparisons if photo.families.get(kind) == family],
        )
        for family in families
    }


def family_lines(evaluation: Evaluation, kind: str) -> list[FamilyLine]:
    """Return a line for each family of one kind; errors as of :func:`by_family`."""
    return [family_line(kind, family, own) for family, own in by_family(evaluation, kind).items()]


def family_line(kind: str, family: str, own: Evaluation) -> FamilyLine:
    """Return the line of one family whose images were evaluated apart."""
    targets = own.targets
    return FamilyLine(
        kind=kind,
        family=family,
        photos=len(own.comparisons),
        leftover_passed=dict(targets.leftover_passed)[VISIBLE_MM2],
        clean_passed=own.verdicts.clean_passed,
        recall=dict(targets.recall)[VISIBLE_MM2],
        false_marks=targets.false_marks,
        cavity_f1=targets.cavity_f1,
    )
