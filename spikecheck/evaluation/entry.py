"""An evaluation as one object for JSON."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from spikecheck.evaluation.failures import failures
from spikecheck.evaluation.families import by_family, kinds_of_family
from spikecheck.evaluation.marked_points import marked_photos
from spikecheck.evaluation.table import rows, verdict_table

if TYPE_CHECKING:
    from spikecheck.evaluation.records import Comparison, PhotoOutcome
    from spikecheck.evaluation.scores import Evaluation

_DIGITS = 4


def evaluation_entry(evaluation: Evaluation) -> dict[str, Any]:
    """Return the evaluation as plain JSON values.

    Returns
    -------
    dict
        ``photos`` (one entry a file), ``verdict_table`` and ``scores`` (the rows of the table);
        ``leftover_passed_at_most`` is the exact one-sided upper limit, 95 %, of leftover spikes
        that pass; ``families`` holds the scores of every family of images by its kind;
        ``failures`` every mistake, the costliest first; ``marked_photos`` what became of points
        marked by hand.
    """
    compared = {photo.file: photo for photo in evaluation.comparisons}
    return {
        "photos": [_photo(each, compared.get(each.file)) for each in evaluation.outcomes],
        "verdict_table": [
            {"truth": line.truth, "pass": line.passed, "review": line.reviewed}
            for line in verdict_table(evaluation)
        ],
        "scores": scores_entry(evaluation),
        "leftover_passed_at_most": _rounded(evaluation.verdicts.leftover_passed.upper),
        "families": {
            kind: {
                family: {"photos": len(own.comparisons), "scores": scores_entry(own)}
                for family, own in by_family(evaluation, kind).items()
            }
            for kind in kinds_of_family(evaluation)
        },
        "failures": [
            {"file": failure.file, "what": failure.what} for failure in failures(evaluation)
        ],
        "marked_photos": [
            {**asdict(photo), "told": list(photo.told)} for photo in marked_photos(evaluation)
        ],
    }


def scores_entry(evaluation: Evaluation) -> list[dict[str, Any]]:
    """Return the rows of the table as plain JSON values."""
    return [
        {
            "group": row.group,
            "name": row.name,
            "events": row.events,
            "trials": row.trials,
            "value": _rounded(row.value),
            "low": _rounded(row.low),
            "high": _rounded(row.high),
        }
        for row in rows(evaluation)
    ]


def _photo(outcome: PhotoOutcome, compared: Comparison | None) -> dict[str, Any]:
    truth, result = outcome.truth, outcome.result
    return {
        "file": outcome.file,
        "truth": None if truth is None or truth.verdict is None else truth.verdict.value,
        "verdict": None if result is None else result.verdict.value,
        "reasons": (
            [] if result is None else sorted({str(reason.code) for reason in result.reasons})
        ),
        "error": outcome.error,
        "anthers": None if compared is None else len(compared.anthers),
        "anthers_found": (
            None if compared is None else sum(anther.found for anther in compared.anthers)
        ),
        "false_marks": None if compared is None else compared.false_marks,
        "unfamiliar": None if result is None else result.photos[0].findings.unfamiliar,
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, _DIGITS)
