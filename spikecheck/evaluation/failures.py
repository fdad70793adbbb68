"""What went wrong, photo by photo, the costliest first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.evaluation.targets import VISIBLE_MM2
from spikecheck.vocabulary import Verdict

if TYPE_CHECKING:
    from collections.abc import Iterator

    from spikecheck.evaluation.records import AntherCount, Comparison
    from spikecheck.evaluation.scores import Evaluation


@dataclass(frozen=True, slots=True)
class Failure:
    """One mistake.

    Parameters
    ----------
    file
        Name of the image.
    what
        What went wrong, in words.
    rank
        How costly the kind of mistake is, 0 the costliest.
    size
        Orders mistakes of one kind, the largest first: mm² missed, or number of false marks.
    """

    file: str
    what: str
    rank: int
    size: float


def failures(evaluation: Evaluation) -> list[Failure]:
    """Return every mistake, the costliest first.

    In this order: a visible leftover that passes; another spike to review that passes; a visible
    leftover missed on a spike that goes to review; a clean spike that goes to review; false marks.
    A photo is listed once, with its costliest mistake.
    """
    reasons = {
        outcome.file: sorted({str(reason.code) for reason in outcome.result.reasons})
        for outcome in evaluation.outcomes
        if outcome.result is not None
    }
    found = [
        failure
        for photo in evaluation.comparisons
        if (failure := next(_of_photo(photo, reasons.get(photo.file, [])), None)) is not None
    ]
    return sorted(found, key=lambda failure: (failure.rank, -failure.size, failure.file))


def _of_photo(photo: Comparison, reasons: list[str]) -> Iterator[Failure]:
    missed = [anther for anther in photo.anthers if not anther.found and _area(anther) > 0]
    largest = max(missed, key=_area, default=None)
    if photo.passed and photo.shows(VISIBLE_MM2):
        shown = max(photo.anthers, key=_area)
        yield Failure(photo.file, f"passes with {_named(shown)}", 0, _area(shown))
    if photo.passed and photo.true_verdict is Verdict.REVIEW:
        why = ", ".join(sorted(photo.true_problems or ()))
        small = "" if largest is None else f"passes with {_named(largest)}"
        yield Failure(photo.file, small or f"passes though {why or 'to review'}", 1, 0.0)
    if largest is not None and photo.judgeable and _area(largest) >= VISIBLE_MM2:
        yield Failure(
            photo.file, f"goes to review, but missed {_named(largest)}", 2, _area(largest)
        )
    if photo.true_verdict is Verdict.PASS and not photo.passed:
        yield Failure(photo.file, f"is clean, reviewed for {', '.join(reasons)}", 3, len(reasons))
    if photo.false_marks and photo.judgeable:
        number = photo.false_marks
        yield Failure(photo.file, f"{number} false mark{'' if number == 1 else 's'}", 4, number)


def _area(anther: AntherCount) -> float:
    """Return the visible area, mm²; one that nobody measured is taken as just visible."""
    return VISIBLE_MM2 if anther.visible_area_mm2 is None else anther.visible_area_mm2


def _named(anther: AntherCount) -> str:
    stage = "an anther" if anther.stage is None else f"an anther, {anther.stage}"
    if anther.visible_area_mm2 is None:
        return f"{stage}, marked by hand"
    return f"{stage}, {anther.visible_area_mm2:.2f} mm² in sight"
