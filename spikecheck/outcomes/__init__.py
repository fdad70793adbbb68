"""What came of the spikes: seed set, selfing, and whether verdicts kept their promise."""

from spikecheck.outcomes.controls import controls_needed
from spikecheck.outcomes.expected import ExpectedShare, expected_selfed_share
from spikecheck.outcomes.groups import By
from spikecheck.outcomes.promise import Comparison, Promise, Standing, compare_with_promise
from spikecheck.outcomes.rates import Measure, Rate
from spikecheck.outcomes.ratio import ratio_interval
from spikecheck.outcomes.seed import (
    neither_crossed_nor_control,
    passed_with_selfing,
    seed_set,
    selfed_seed,
    selfing_in_controls,
)
from spikecheck.outcomes.wording import expected_share_sentence, rate_sentence

__all__ = [
    "By",
    "Comparison",
    "ExpectedShare",
    "Measure",
    "Promise",
    "Rate",
    "Standing",
    "compare_with_promise",
    "controls_needed",
    "expected_selfed_share",
    "expected_share_sentence",
    "neither_crossed_nor_control",
    "passed_with_selfing",
    "rate_sentence",
    "ratio_interval",
    "seed_set",
    "selfed_seed",
    "selfing_in_controls",
]
