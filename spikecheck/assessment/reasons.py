"""Why a spike needs review, most urgent first.

The order of urgency: whether the photos are of one spike at all, what cannot be undone (pollen that
may be out), what can still be taken out (anthers), what was not prepared, what the photo hides, and
last what is only unlikely to be right.
A photo that cannot be judged and in which nothing was found so comes first with its own problem.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from spikecheck.assessment import wording
from spikecheck.assessment.sentences import AND_MORE
from spikecheck.vocabulary import AntherStage, QualityProblem, Reason, ReasonCode

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from spikecheck.assessment.evidence import PhotoEvidence
    from spikecheck.thresholds import AssessmentThresholds
    from spikecheck.vocabulary import Anther

_PROBLEM_CODES = tuple(problem.value for problem in QualityProblem)
_BEFORE_PROBLEMS = (
    ReasonCode.SEVERAL_TAGS,
    ReasonCode.TOO_CLOSE_TO_ANTHESIS, ReasonCode.ANTHER_LEFT, ReasonCode.ANTHER_OUTSIDE_FLORET,
    ReasonCode.FLORET_NOT_CLIPPED,
)  # fmt: skip
_AFTER_PROBLEMS = (
    ReasonCode.FLORET_NOT_SEEN, ReasonCode.UNFAMILIAR, ReasonCode.PART_NOT_READ,
    ReasonCode.RISK_TOO_HIGH, ReasonCode.ONE_FACE_ONLY,
)  # fmt: skip
_URGENCY: tuple[str, ...] = (*_BEFORE_PROBLEMS, *_PROBLEM_CODES, *_AFTER_PROBLEMS)
_PREPARATION = _URGENCY.index(ReasonCode.FLORET_NOT_CLIPPED)
_RIPEST_FIRST = (AntherStage.DEHISCED, AntherStage.YELLOW, AntherStage.GREEN)


def photo_reasons(
    photos: Sequence[PhotoEvidence], *, thresholds: AssessmentThresholds
) -> tuple[Reason, ...]:
    """Return every reason for review that single photos give.

    Parameters
    ----------
    photos
        The evidence of each photo.
    thresholds
        How sure a mark must be to be called an anther, how much of the spike must be read, and
        how many reasons of one kind are listed.

    Returns
    -------
    tuple of Reason
        Most urgent first; reasons of one kind by photo, the ripest and surest anther first,
        florets from base to tip. Anthers of one floret and kind share a reason, which points at
        the first of them.
    """
    found: list[Reason] = []
    for index, evidence in enumerate(photos):
        for reason in _bounded(_of_photo(evidence, thresholds), thresholds=thresholds):
            message = reason.message
            if len(photos) > 1:
                message = wording.in_photo(message, index + 1)
            found.append(
                Reason(reason.code, message, index, floret=reason.floret, place=reason.place)
            )
    blocked = {index for index, evidence in enumerate(photos) if evidence.blocked}
    return tuple(sorted(found, key=lambda reason: _rank(reason, blocked)))


def _rank(reason: Reason, blocked: set[int]) -> float:
    """Place in the order of urgency; the sort keeps the order of photos within a place."""
    if reason.code == QualityProblem.NOT_PREPARED and reason.photo not in blocked:
        return _PREPARATION - 0.5
    return _URGENCY.index(reason.code)


def _of_photo(evidence: PhotoEvidence, thresholds: AssessmentThresholds) -> Iterator[Reason]:
    yield from _anthers(evidence, thresholds)
    yield from _suspected(evidence)
    for problem in evidence.quality.problems:
        yield Reason(problem.value, problem.advice)
    if evidence.findings.unfamiliar:
        yield Reason(ReasonCode.UNFAMILIAR, wording.unfamiliar())
    if evidence.blocked:
        if not evidence.quality.problems and not evidence.findings.unfamiliar:
            yield Reason(ReasonCode.PART_NOT_READ, wording.not_judgeable())
        return  # what else it shows is as doubtful as the photo itself
    yield from _florets(evidence, thresholds)
    share = evidence.findings.unexplained
    # Written so that a share that is no number is above the limit too.
    if not share <= thresholds.unexplained_share_most:
        yield Reason(ReasonCode.PART_NOT_READ, wording.part_not_read(share))
    if evidence.missing:
        count = len(evidence.florets)
        least = count + evidence.missing
        yield Reason(ReasonCode.PART_NOT_READ, wording.too_few_florets(count, least))


def _anthers(evidence: PhotoEvidence, thresholds: AssessmentThresholds) -> Iterator[Reason]:
    florets = {judged.floret.id: judged.floret for judged in evidence.florets}
    by_urgency = sorted(
        evidence.leftovers,
        key=lambda anther: (_RIPEST_FIRST.index(anther.stage), -anther.score),
    )
    together: dict[tuple[bool, str | int], list[Anther]] = {}
    for number, anther in enumerate(by_urgency):
        # One outside the florets is looked for at its own place, so it has its own reason.
        where = anther.floret if anther.floret in florets else number
        together.setdefault((_is_near_anthesis(anther), where), []).append(anther)
    for (near_anthesis, where), anthers in together.items():
        first, count = anthers[0], len(anthers)
        name = wording.anther_name(first, sure=first.score >= thresholds.anther_score_sure)
        if isinstance(where, str):
            mark = wording.mark_in_floret(name, florets[where], more=count - 1)
        else:
            mark = wording.mark_outside(name)
        if near_anthesis:
            code = ReasonCode.TOO_CLOSE_TO_ANTHESIS
            first_told = first is next(filter(_is_near_anthesis, by_urgency))
            message = wording.too_close(mark, with_cure=first_told)
        elif isinstance(where, str):
            code = ReasonCode.ANTHER_LEFT
            message = wording.anther_left(mark, count=count)
        else:
            code, message = ReasonCode.ANTHER_OUTSIDE_FLORET, wording.anther_outside(mark)
        yield Reason(
            code, message, floret=where if isinstance(where, str) else None, place=first.centre
        )


def _suspected(evidence: PhotoEvidence) -> Iterator[Reason]:
    """Yield the florets in which an anther may show, likeliest first; no mark says where."""
    florets = [
        judged.floret for judged in evidence.florets if judged.floret.id in evidence.suspected
    ]
    for floret in sorted(florets, key=lambda one: -(one.p_anther or 0.0)):
        message = wording.anther_suspected(floret)
        yield Reason(ReasonCode.ANTHER_LEFT, message, floret=floret.id, place=floret.centre)


def _is_near_anthesis(anther: Anther) -> bool:
    return anther.near_anthesis or anther.stage is not AntherStage.GREEN


def _florets(evidence: PhotoEvidence, thresholds: AssessmentThresholds) -> Iterator[Reason]:
    with_anther = {anther.floret for anther in evidence.leftovers} | evidence.suspected
    unclipped = sum(not judged.floret.clipped for judged in evidence.florets)
    told_together = unclipped > 1 and QualityProblem.NOT_PREPARED in evidence.quality.problems
    if told_together:
        # Their advice is the problem's own; a line for each would only bury it.
        yield Reason(ReasonCode.FLORET_NOT_CLIPPED, wording.many_not_clipped(unclipped))
    for judged in evidence.florets:
        floret = judged.floret
        if not floret.clipped:
            if told_together:
                continue
            code, message = ReasonCode.FLORET_NOT_CLIPPED, wording.not_clipped(floret)
        elif floret.cavity_seen < thresholds.cavity_seen_least and floret.id not in with_anther:
            code, message = ReasonCode.FLORET_NOT_SEEN, wording.not_seen(floret)
        else:
            continue
        yield Reason(code, message, floret=floret.id, place=floret.centre)


def _bounded(reasons: Iterable[Reason], *, thresholds: AssessmentThresholds) -> Iterator[Reason]:
    """Keep the first few reasons of a kind and say in one more how many there are beside."""
    most = round(thresholds.reasons_listed_most)
    in_order = sorted(reasons, key=lambda reason: _URGENCY.index(reason.code))
    for code, group in groupby(in_order, key=lambda reason: reason.code):
        same = list(group)
        if code not in AND_MORE or len(same) <= most:
            yield from same
            continue
        yield from same[:most]
        yield Reason(code, wording.and_more(ReasonCode(code), len(same) - most))
