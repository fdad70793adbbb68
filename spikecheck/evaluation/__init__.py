"""Compares results with truth."""

from spikecheck.evaluation.folder import evaluate_folder
from spikecheck.evaluation.intervals import (
    clopper_pearson_interval,
    upper_limit,
    wilson_interval,
)
from spikecheck.evaluation.records import Comparison, PhotoOutcome, Proportion
from spikecheck.evaluation.scores import Evaluation
from spikecheck.evaluation.summary import summarise
from spikecheck.evaluation.table import Row, VerdictLine, evaluation_entry, rows, verdict_table

__all__ = [
    "Comparison",
    "Evaluation",
    "PhotoOutcome",
    "Proportion",
    "Row",
    "VerdictLine",
    "clopper_pearson_interval",
    "evaluate_folder",
    "evaluation_entry",
    "rows",
    "summarise",
    "upper_limit",
    "verdict_table",
    "wilson_interval",
]
