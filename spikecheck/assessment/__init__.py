"""From findings to pass or review, reasons and risk, and what a pass promises."""

from spikecheck.assessment.assess import Assessment, assess
from spikecheck.assessment.evidence import counts_as_leftover
from spikecheck.assessment.retelling import retold
from spikecheck.assessment.risk import clear_floret_risk, probability_of_any
from spikecheck.assessment.wording import promise, risk_rests_on

__all__ = [
    "Assessment",
    "assess",
    "clear_floret_risk",
    "counts_as_leftover",
    "probability_of_any",
    "promise",
    "retold",
    "risk_rests_on",
]
