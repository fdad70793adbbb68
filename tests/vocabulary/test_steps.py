"""What can happen to a spike: counts are whole numbers."""

from __future__ import annotations

import pytest

from spikecheck.errors import UsageError
from spikecheck.vocabulary.steps import Emasculated, SeedTested, Selected, ThirdCount, Threshed


@pytest.mark.parametrize(
    ("made", "counts"),
    [
        (Selected, (55,)),
        (Emasculated, (20, 60)),
        (ThirdCount, (3, 6)),
        (Threshed, (12, 20)),
        (SeedTested, (8, 1)),
    ],
)
def test_what_is_counted_is_told_in_whole_numbers(made, counts):
    made(*counts)
    for place, count in enumerate(counts):
        for part in (count + 0.5, float(count), float("nan"), str(count)):
            several = (*counts[:place], part, *counts[place + 1 :])
            with pytest.raises(UsageError, match=r"is no count\. Give a whole number$"):
                made(*several)
