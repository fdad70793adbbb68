"""From findings to pass or review, reasons and risk."""

from spikecheck.assessment.assess import Assessment, assess
from spikecheck.assessment.risk import clear_floret_risk, probability_of_any

__all__ = ["Assessment", "assess", "clear_floret_risk", "probability_of_any"]
