"""When to come back to a spike of a crop, in numbers a user may change.

One TOML file a crop. They decide dates, never a verdict, and so stay out of the digest of
:class:`spikecheck.thresholds.Thresholds` that is recorded with a check.
"""

from spikecheck.thresholds.season.changing import changed_numbers, numbers_with
from spikecheck.thresholds.season.loading import (
    CROPS,
    RefitThresholds,
    load_refit,
    load_season_numbers,
    refit_list,
)
from spikecheck.thresholds.season.numbers import Basis, SeasonNumber, SeasonNumbers

__all__ = [
    "CROPS", "Basis", "RefitThresholds", "SeasonNumber", "SeasonNumbers", "changed_numbers",
    "load_refit", "load_season_numbers", "numbers_with", "refit_list",
]  # fmt: skip
