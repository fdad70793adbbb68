"""Results and truths of one photo, to order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.assessment import assess
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import (
    AntherStage,
    CheckResult,
    PhotoResult,
    PhotoTruth,
    TrueAnther,
    TrueFloret,
    Verdict,
)
from tests.builders import findings, floret, photo, quality

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.vocabulary import Findings, Floret, PhotoQuality, Point, QualityProblem


def result_on(
    seen: Findings | None = None, judged: PhotoQuality | None = None, *, name: str = "a.jpg"
) -> CheckResult:
    """The result on one photo with these findings."""
    seen, judged = seen or findings(), judged or quality()
    answer = assess([(seen, judged)], thresholds=load_thresholds().assessment)
    one = photo(name)
    entry = PhotoResult(
        one.file, one.sha256, one.width, one.height, None, judged, seen, answer.florets[0]
    )
    return CheckResult(answer.verdict, answer.reasons, answer.risk, (entry,), {"total": 1.0}, "0")


def true_anther(
    floret_id: str = "L3",
    *,
    stage: AntherStage | None = AntherStage.GREEN,
    area_mm2: float | None = None,
    at: Point | None = None,
) -> TrueAnther:
    """An anther in the middle of its floret, or at ``at``."""
    return TrueAnther(
        at or floret(floret_id).centre,
        floret=floret_id,
        stage=stage,
        near_anthesis=None if stage is None else stage is not AntherStage.GREEN,
        visible_area_mm2=area_mm2,
    )


def true_floret(one: Floret) -> TrueFloret:
    """The floret as it is reported when everything is right."""
    return TrueFloret(
        one.id, one.centre, one.box, one.side, one.position, one.clipped, one.cavity_seen
    )


def truth(
    *anthers: TrueAnther,
    florets: Sequence[Floret] | None = None,
    verdict: Verdict | None = None,
    problems: tuple[QualityProblem, ...] | None = (),
    complete: bool = True,
    px_per_mm: float | None = 10.0,
) -> PhotoTruth:
    """Truth of one photo; review if there is an anther or a problem, unless told otherwise."""
    right = Verdict.REVIEW if anthers or problems else Verdict.PASS
    return PhotoTruth(
        "a.jpg",
        400,
        1000,
        anthers,
        complete=complete,
        florets=None if florets is None else tuple(true_floret(one) for one in florets),
        verdict=verdict or right,
        problems=problems,
        px_per_mm=px_per_mm,
    )
