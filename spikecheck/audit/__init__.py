"""A supervisor's second look at a crossing session: how many spikes, which, and what it says.

Nothing here changes a record. Numbers that decide are in ``thresholds/audit.toml``; they describe
people's work and stay out of the digest that is recorded with a check.
"""

from spikecheck.audit.agreement import Agreement, Coefficient, reader_agreement
from spikecheck.audit.blind import (
    PairedReadings,
    ReadingPair,
    SpikeReading,
    agreement_table,
    pair_readings,
)
from spikecheck.audit.charts import ChartPoint, ShareChart, Side, share_chart
from spikecheck.audit.coefficients import Weighting
from spikecheck.audit.cusum import LikelihoodPoint, likelihood_cusum, technician_sums
from spikecheck.audit.draw import Draw, Strata, Stratum, draw_sample
from spikecheck.audit.inspections import Count, Inspection, by_day, by_technician
from spikecheck.audit.iso_2859 import ReferencePlan, code_letter, reference_plan
from spikecheck.audit.sampling import (
    SamplingPlan,
    acceptance,
    most_bad,
    smallest_plan,
)
from spikecheck.audit.spikes import SpikeName, bagged_lot

__all__ = [
    "Agreement", "ChartPoint", "Coefficient", "Count", "Draw", "Inspection",
    "LikelihoodPoint", "PairedReadings", "ReadingPair", "ReferencePlan",
    "SamplingPlan", "ShareChart", "Side", "SpikeName", "SpikeReading", "Strata", "Stratum",
    "Weighting", "acceptance", "agreement_table", "bagged_lot", "by_day", "by_technician",
    "code_letter", "draw_sample", "likelihood_cusum", "most_bad", "pair_readings",
    "reader_agreement", "reference_plan", "share_chart", "smallest_plan", "technician_sums",
]  # fmt: skip
