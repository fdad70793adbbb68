"""A person's practice from the first photo to the sign-off, tied to photos and records."""

from spikecheck.coaching.coach import Coach
from spikecheck.coaching.numbers import (
    PRACTICE_NUMBERS_VARIABLE,
    changed_numbers,
    numbers_in_force,
    read_numbers,
)
from spikecheck.coaching.pool import (
    PRACTICE_FOLDERS_VARIABLE,
    Pool,
    PoolPhoto,
    Source,
    practice_folders,
    read_pool,
)
from spikecheck.coaching.progress import OnView, Progress, told_last, truth_of
from spikecheck.coaching.standing import Standing, session_chart, standing_of

__all__ = [
    "PRACTICE_FOLDERS_VARIABLE",
    "PRACTICE_NUMBERS_VARIABLE",
    "Coach",
    "OnView",
    "Pool",
    "PoolPhoto",
    "Progress",
    "Source",
    "Standing",
    "changed_numbers",
    "numbers_in_force",
    "practice_folders",
    "read_numbers",
    "read_pool",
    "session_chart",
    "standing_of",
    "told_last",
    "truth_of",
]
