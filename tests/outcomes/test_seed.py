"""Rates of spikes: what is counted, in which groups, with which intervals."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.proportion import proportion_confint

from spikecheck.outcomes import (
    By,
    Measure,
    neither_crossed_nor_control,
    passed_with_selfing,
    rate_sentence,
    seed_set,
    selfed_seed,
    selfing_in_controls,
)
from spikecheck.outcomes.wording import percent
from spikecheck.vocabulary import SpikeRecord, Verdict
from spikecheck.vocabulary.steps import ThirdCount
from tests.outcomes.spikes import MOMENT, control, crossed, seed_tested

PASS, REVIEW = Verdict.PASS, Verdict.REVIEW


@pytest.mark.parametrize(
    ("seeds", "low", "high"), [(0, 0.0, 0.0596), (1, 0.0004, 0.0894), (2, 0.0041, 0.1153)]
)
def test_selfing_has_the_exact_interval(seeds, low, high):
    """Clopper and Pearson's interval of so many of 60, also as statsmodels has it."""
    spikes = [control(0, 20, 1), control(0, 20, 2), control(seeds, 20, 3)]
    (rate,) = selfing_in_controls(spikes)
    assert (rate.events, rate.trials, rate.spikes) == (seeds, 60, 3)
    assert (rate.low, rate.high) == pytest.approx((low, high), abs=5e-5)
    assert (rate.low, rate.high) == pytest.approx(proportion_confint(seeds, 60, method="beta"))


def test_seed_set_is_shown_by_spike_with_the_exact_interval_beside():
    (rate,) = seed_set([crossed(x, 20, x) for x in (2, 20, 19, 5, 20, 6)])
    assert (rate.events, rate.trials, rate.share) == (72, 120, 0.6)
    assert rate.varies is True
    assert (rate.low, rate.high) == (rate.by_spike_low, rate.by_spike_high)
    assert rate.low < rate.exact_low < 0.6 < rate.exact_high < rate.high
    assert rate_sentence(rate) == (
        f"Seed set: 72 of 120 florets set seed, 60 % (95 % interval {100 * rate.low:.0f} % to "
        f"{100 * rate.high:.0f} %), from 6 spikes. Spikes differ more than "
        "chance explains; the interval allows for it. Without regard to spikes it would "
        "be 51 % to 69 %; more spikes help."
    )


def test_one_spike_has_the_exact_interval_only():
    (rate,) = seed_set([crossed(12, 20)])
    assert (rate.low, rate.high) == (rate.exact_low, rate.exact_high)
    assert (rate.by_spike_low, rate.by_spike_high, rate.varies) == (None, None, None)


def test_crosses_of_few_spikes_borrow_how_much_spikes_differ():
    several = [
        crossed(seeds, 20, spike, cross=f"X-{cross}")
        for cross in range(8)
        for spike, seeds in enumerate((11, 13), start=1)
    ]
    alone = seed_set(several[:2], By.CROSS)[0]
    together = seed_set(several, By.CROSS)
    assert [rate.design_effect for rate in together] == [1.0] * 8
    assert together[0].high - together[0].low < alone.high - alone.low
    assert together[0].low <= together[0].exact_low
    single = seed_set([*several, crossed(0, 20, 1, cross="X-9")], By.CROSS)[-1]
    assert single.low == 0
    assert single.high > single.exact_high - 1e-12
    assert seed_set(several, By.SPIKE)[0].by_spike_low is None


def test_what_is_counted_where():
    lost = SpikeRecord("X-1", 9, "wheat", "Tarn", "Alva", threshed_at=MOMENT, seeds=1,
                       seed_florets=9)  # fmt: skip
    waiting = SpikeRecord("X-1", 8, "wheat", "Tarn", "Alva", pollinated_at=MOMENT)
    spikes = [crossed(5, 10, 1), control(1, 12, 2), seed_tested(1, 8, 3), lost, waiting]
    assert [(r.events, r.trials) for r in seed_set(spikes)] == [(13, 18)]
    assert [(r.events, r.trials) for r in selfing_in_controls(spikes)] == [(1, 12)]
    assert [(r.events, r.trials) for r in selfed_seed(spikes)] == [(1, 8)]
    assert neither_crossed_nor_control(spikes) == (lost,)
    assert seed_set([waiting]) == selfing_in_controls([]) == selfed_seed([lost]) == ()


@pytest.mark.parametrize(
    ("by", "fields", "names"),
    [
        (By.ALL, [{}, {}], [""]),
        (By.CROSS, [{"cross": "X-2"}, {}], ["X-2", "X-1"]),
        (By.SPIKE, [{}, {}], ["X-1 1", "X-1 2"]),
        (By.SESSION, [{"session": "S"}, {}], ["S", "not noted"]),
        (By.PLACE, [{"place": "house 2"}, {}], ["house 2", "not noted"]),
        (By.TECHNICIAN, [{"emasculated_by": "Ada"}, {}], ["Ada", "not noted"]),
        (By.POLLINATOR, [{"pollinated_by": "Ada"}, {}], ["Ada", "not noted"]),
        (By.METHOD, [{"method": "clip"}, {"method": "pry"}], ["clip", "pry"]),
        (By.VERDICT, [{"verdict": PASS}, {}], ["pass", "not checked"]),
        (By.COMPUTED_VERDICT, [{"computed_verdict": REVIEW, "verdict": PASS}, {}],
         ["review", "not checked"]),
        (By.DECIDED_BY, [{"verdict": PASS}, {"verdict": PASS, "overridden": True}],
         ["pass, computed", "pass, set by a person"]),
    ],
)  # fmt: skip
def test_groups(by, fields, names):
    spikes = [crossed(5, 10, spike, **one) for spike, one in enumerate(fields, start=1)]
    assert [rate.name for rate in seed_set(spikes, by)] == names


def test_thirds():
    thirds = (ThirdCount(2, 6), ThirdCount(6, 8), ThirdCount(1, 6))
    spikes = [crossed(9, 20, 1, thirds=thirds), crossed(9, 20, 2), control(3, 9, 3)]
    rates = seed_set(spikes, By.THIRD)
    assert [(r.name, r.events, r.trials) for r in rates] == [
        ("basal", 2, 6), ("central", 6, 8), ("apical", 1, 6),
    ]  # fmt: skip
    assert selfed_seed([seed_tested(1, 8)], By.THIRD) == ()


def test_passed_spikes_with_selfing_are_told_spike_by_spike():
    spikes = [
        control(3, 20, 1, computed_verdict=PASS, verdict=PASS),
        control(0, 20, 2, computed_verdict=PASS, verdict=REVIEW, overridden=True),
        control(9, 20, 3, computed_verdict=REVIEW, verdict=PASS, overridden=True),
        control(9, 20, 4),
        seed_tested(0, 8, 5, computed_verdict=PASS),
        seed_tested(2, 8, 6, computed_verdict=PASS),
        crossed(9, 20, 7, computed_verdict=PASS),
    ]
    rate = passed_with_selfing(spikes)
    assert (rate.measure, rate.events, rate.trials) == (Measure.PASSED_WITH_SELFING, 2, 4)
    assert passed_with_selfing(spikes[2:4]) is None
    assert rate_sentence(rate) == (
        "Passed spikes with selfed seed: 2 of 4 passed spikes with selfed seed, 50 % (95 % "
        "interval 6.8 % to 93 %)."
    )


@pytest.mark.parametrize(
    ("share", "told"),
    [
        (0, "0 %"), (3e-6, "below 0.01 %"), (0.0067, "0.67 %"), (0.049, "4.9 %"), (0.58, "58 %"),
        (0.994, "99 %"), (299 / 300, "99.7 %"), (0.9996, "above 99.9 %"), (1, "100 %"),
    ],
)  # fmt: skip
def test_none_and_all_are_told_only_where_it_is_none_and_all(share, told):
    assert percent(share) == told


def test_sentences():
    (rate,) = selfing_in_controls([control(1, 60)], By.METHOD)
    assert rate_sentence(rate) == (
        "Selfing in control spikes (not noted): 1 of 60 control florets set selfed seed, 1.7 % "
        "(95 % interval 0.04 % to 8.9 %), from 1 spike."
    )
    (rate,) = selfing_in_controls([control(x, 20, x) for x in (0, 9, 0, 0, 8)])
    assert "so the interval is too narrow: by spike it is" in rate_sentence(rate)


counts = st.integers(1, 30).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@given(st.lists(st.tuples(counts, st.sampled_from(["Ada", "Ben", ""])), min_size=1, max_size=9))
def test_groups_add_up_and_intervals_hold_the_share(several):
    spikes = [
        crossed(*count, spike, emasculated_by=who)
        for spike, (count, who) in enumerate(several, start=1)
    ]
    (whole,) = seed_set(spikes)
    parts = seed_set(spikes, By.TECHNICIAN)
    for field in ("events", "trials", "spikes"):
        assert sum(getattr(part, field) for part in parts) == getattr(whole, field)
    for rate in (whole, *parts):
        assert rate.low <= rate.share + 1e-12
        assert rate.share <= rate.high + 1e-12
        assert rate.exact_low <= rate.share + 1e-12
        assert rate.share <= rate.exact_high + 1e-12
