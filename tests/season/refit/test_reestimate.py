"""Windows from own seed set: near the truth, honest about too little."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from spikecheck.errors import SeasonError
from spikecheck.season.refit import SeedSet, reestimate, seed_sets
from spikecheck.thresholds.season import load_refit, numbers_with
from tests.season.refit.coverage_study import coverage
from tests.season.refit.simulated import Truth, drawn
from tests.season.spikes import DAY, FIRST, HOUR, NUMBERS, measured, spike


def test_the_truth_lies_in_the_intervals_about_as_often_as_they_say():
    """200 draws at 95 %: fewer than 183 hits would come by chance less than once in 1000."""
    found = coverage(200, 60, Truth(), seed=11)
    assert found.estimated > 0.95
    for share in (found.best, found.first, found.last):
        assert share >= 183 / 200


def test_much_data_comes_close_to_the_truth():
    truth = Truth()
    refit = reestimate(drawn(np.random.default_rng(2), truth, 1500))
    estimate = refit.estimate
    first, last = truth.edges(load_refit().share_of_best)
    assert estimate.best.value == pytest.approx(truth.best, abs=2)
    assert estimate.first.value == pytest.approx(first, abs=4)
    assert estimate.last.value == pytest.approx(last, abs=4)
    assert estimate.dispersion == pytest.approx(1 + 23 * truth.correlation, rel=0.15)
    assert refit.statement.startswith("From 1500 spikes: best 6")
    assert "95 % interval" in refit.statement


def test_the_estimate_can_be_taken_over():
    estimate = reestimate(drawn(np.random.default_rng(2), Truth(), 200)).estimate
    own = numbers_with(NUMBERS, estimate.changes)
    assert own.receptive_best == round(estimate.best.value)
    assert own.entry("receptive_last_spread").changed


def test_a_window_does_not_reach_beyond_what_was_tried():
    """A curve that is wider than the days tried: its edges, -4 and 124, are not known."""
    truth = Truth(best=60, width=90, height=0.5, correlation=0.001)
    spikes = [one for one in drawn(np.random.default_rng(4), truth, 400) if one.degree_days < 110]
    times = [one.degree_days for one in spikes]
    refit = reestimate(spikes)
    estimate = refit.estimate
    assert estimate.first.value < min(times)
    assert estimate.last.value > max(times)
    assert estimate.changes["receptive_first"] == round(min(times))
    assert estimate.changes["receptive_last"] == round(max(times))
    assert f"; from {min(times):.0f} to {max(times):.0f} at least" in refit.statement
    assert refit.statement.endswith(
        f"Nothing was tried before {min(times):.0f} degree-days. "
        f"Nothing was tried after {max(times):.0f} degree-days."
    )


def test_more_scatter_between_spikes_widens_the_interval():
    def width(correlation):
        best = reestimate(
            drawn(np.random.default_rng(5), Truth(correlation=correlation), 300)
        ).estimate.best
        return best.high - best.low

    assert width(0.3) > 1.5 * width(0.001)


def outcomes(times, seeds, florets=20):
    return [
        SeedSet("C-014", k, float(x), int(y), florets)
        for k, (x, y) in enumerate(zip(times, seeds, strict=True))
    ]


@pytest.mark.parametrize(
    ("several", "said"),
    [
        ([], "0 spikes with known seed set, 20 are needed"),
        (outcomes(range(19), [5] * 19), "19 spikes"),
        (outcomes(range(30), [5] * 30), "most pollinations lie within 23 degree-days"),
        (outcomes(range(0, 90, 3), [0] * 30), "all or none of it"),
        (outcomes(range(0, 90, 3), [8, 9, 10] * 10), "does not clearly fall on both sides"),
        (outcomes(range(0, 90, 3), [19 - k // 2 for k in range(30)]), "both sides|outside"),
        (outcomes(range(0, 90, 3), [18 - k * k // 50 for k in range(30)]), "both sides|outside"),
    ],
)
def test_too_little_is_said_plainly(several, said):
    refit = reestimate(several)
    assert refit.estimate is None
    assert refit.statement.startswith("Too little to say: ")
    assert any(part in refit.statement for part in said.split("|"))
    assert refit.seeds == sum(one.seeds for one in several)


def test_seeds_that_cannot_be_are_refused():
    with pytest.raises(SeasonError, match="21 seeds cannot come from 20 florets"):
        SeedSet("C-014", 1, 50, 21, 20)


def threshed(number=1, **what):
    return spike(
        number, pollinated_at=FIRST + 12 * HOUR + 3 * DAY, threshed_at=FIRST + 60 * DAY,
        **{"seeds": 12, "seed_florets": 20} | what,
    )  # fmt: skip


def test_seed_set_is_read_off_threshed_spikes_where_temperatures_were_measured():
    records = [
        threshed(),
        threshed(2, control=True),
        threshed(3, seeds=None, seed_florets=None),
        threshed(4, place="Field"),
        threshed(5, emasculated_at=FIRST - DAY),
        spike(6),
    ]
    courses = {"House 2": measured(*[18] * 10)}
    (one,) = seed_sets(records, crop="wheat", courses=courses)
    assert (one.spike, one.seeds, one.florets) == (1, 12, 20)
    assert one.degree_days == pytest.approx(54)
    assert seed_sets(records, crop="rice", courses=courses) == ()
    assert seed_sets(records, crop="wheat", courses={"House 2": measured(18, 18)}) == (), "outlook"


def test_seed_sets_of_an_earlier_season_count_too():
    """Between two seasons nobody reads the thermometer."""
    earlier = measured(*[18] * 10)
    later = measured(*[18] * 10, first=date(2027, 5, 1))
    record = threshed(1)
    courses = {"House 2": (*earlier, *later)}
    (one,) = seed_sets([record], crop="wheat", courses=courses)
    assert one.degree_days == pytest.approx(54)
