"""Compares results with truth."""

from spikecheck.evaluation.entry import evaluation_entry
from spikecheck.evaluation.failures import Failure, failures
from spikecheck.evaluation.families import FamilyLine, by_family, family_lines, kinds_of_family
from spikecheck.evaluation.folder import evaluate_folder
from spikecheck.evaluation.marked_points import MarkedPhoto, marked_photos
from spikecheck.evaluation.records import Comparison, PhotoOutcome, Proportion
from spikecheck.evaluation.scores import Evaluation
from spikecheck.evaluation.summary import summarise
from spikecheck.evaluation.table import Row, VerdictLine, rows, verdict_table

__all__ = [
    "Comparison",
    "Evaluation",
    "Failure",
    "FamilyLine",
    "MarkedPhoto",
    "PhotoOutcome",
    "Proportion",
    "Row",
    "VerdictLine",
    "by_family",
    "evaluate_folder",
    "evaluation_entry",
    "failures",
    "family_lines",
    "kinds_of_family",
    "marked_photos",
    "rows",
    "summarise",
    "verdict_table",
]
