"""The right answer of a composed photo: its kind, its problems and its verdict."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.synthetic.compose.truth_reading import counts_for_verdict
from spikecheck.synthetic.kinds import kind_of
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import QualityProblem, Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.synthetic.compose.truth_reading import SeenFloret
    from spikecheck.synthetic.solid.layers import LayerRecord
    from spikecheck.vocabulary import TrueAnther

COUNTED_MM2 = 0.05  # a leftover that shows less decides nothing
FAULTS: tuple[str, ...] = tuple(
    problem.value for problem in QualityProblem if problem is not QualityProblem.NOT_PREPARED
)
_STATE_KINDS = {"partly": "partly_prepared", "heading": "unprepared", "anthesis": "unprepared"}
_LEFTOVER = "leftover"


def plain_kind(record: LayerRecord) -> str:
    """Return the kind of a good photo of a layer."""
    if record.state in _STATE_KINDS:
        return _STATE_KINDS[record.state]
    if any(a.visible_px / record.px_per_mm**2 >= COUNTED_MM2 for a in record.anthers):
        return _LEFTOVER
    least = load_thresholds().assessment.cavity_seen_least
    away = any(f.clipped and f.cavity_visible < least for f in record.florets)
    return "turned_away" if away else "clean"


def fault_of(kind: str, record: LayerRecord | None) -> QualityProblem | None:
    """Return what is wrong with the picture of a kind.

    Raises
    ------
    UsageError
        If there is no such kind, or it is no photo of this layer.
    """
    wanted = kind_of(kind)
    if kind in FAULTS:
        if record is None and wanted.has_spike:
            raise UsageError(f"a photo of kind {kind!r} needs a layer")
        return wanted.picture_problem
    if record is None or kind != plain_kind(record):
        fits = "none" if record is None else plain_kind(record)
        raise UsageError(
            f"a photo of kind {kind!r} cannot be made of this layer",
            cure=f"Choose {fits} or a fault: {', '.join(FAULTS)}",
        )
    return None


def problems_of(
    fault: QualityProblem | None, record: LayerRecord, hidden: float, px_per_mm: float
) -> tuple[QualityProblem, ...]:
    """Return the photo problems in their order.

    Parameters
    ----------
    fault
        What was made wrong on purpose.
    record
        The layer: whether it is prepared.
    hidden
        Share of the axis that something lies over.
    px_per_mm
        Scale of the photo.
    """
    limits = load_thresholds().quality
    found = set() if fault is None else {fault}
    if hidden > limits.largest_hidden_share:
        found.add(QualityProblem.OCCLUDED)
    if px_per_mm < limits.least_px_per_mm:
        found.add(QualityProblem.TOO_SMALL)
    uncut = [not floret.clipped for floret in record.florets]
    share = sum(uncut) / max(1, len(uncut))
    if record.state in {"heading", "anthesis"} or share > limits.largest_unclipped_share:
        found.add(QualityProblem.NOT_PREPARED)
    return tuple(problem for problem in QualityProblem if problem in found)


def verdict_of(
    seen: Sequence[SeenFloret],
    anthers: Sequence[TrueAnther],
    problems: Sequence[QualityProblem],
) -> Verdict:
    """Return pass when no leftover shows and every floret facing the camera can be judged."""
    least = load_thresholds().assessment.cavity_seen_least
    left = any((anther.visible_area_mm2 or 0) >= COUNTED_MM2 for anther in anthers)
    doubtful = any(
        not one.floret.clipped or one.cavity_visible < least
        for one in seen
        if counts_for_verdict(one)
    )
    return Verdict.REVIEW if left or doubtful or problems else Verdict.PASS


def shown_kind(kind: str, anthers: Sequence[TrueAnther], verdict: Verdict) -> str:
    """Return what a photo turned out to show: things laid over it may hide what was left."""
    if kind not in {_LEFTOVER, "clean", "turned_away"}:
        return kind
    if any((anther.visible_area_mm2 or 0) >= COUNTED_MM2 for anther in anthers):
        return _LEFTOVER
    return "clean" if verdict is Verdict.PASS else "turned_away"
