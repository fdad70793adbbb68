"""Florets in spikes: against reference libraries, by hand, and by simulation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chi2_contingency
from statsmodels.api import GEE, cov_struct, families

from spikecheck.errors import UsageError
from spikecheck.intervals import clopper_pearson_interval
from spikecheck.outcomes.clusters import (
    Cluster,
    Clustering,
    by_cluster_interval,
    clustering_of,
    varies_more_than_chance,
)


def clusters(*pairs):
    return tuple(Cluster(*pair) for pair in pairs)


def interval(several):
    return by_cluster_interval(several, clustering_of([several]) or Clustering(1.0, 1_000_000))


def design_effect(*groups):
    return clustering_of(groups).design_effect


SPIKES = clusters((12, 20), (15, 24), (3, 18), (20, 22), (9, 20), (0, 16))


def test_the_variance_is_the_sandwich_of_estimating_equations():
    """statsmodels' GEE with independent working correlation, but for its k / (k - 1)."""
    seeds = np.concatenate([[1] * one.events + [0] * (one.trials - one.events) for one in SPIKES])
    spike = np.repeat(np.arange(len(SPIKES)), [one.trials for one in SPIKES])
    fit = GEE(
        seeds, np.ones((len(seeds), 1)), groups=spike,
        family=families.Binomial(), cov_struct=cov_struct.Independence(),
    ).fit()  # fmt: skip
    share, k = seeds.mean(), len(SPIKES)
    of_the_share = fit.bse[0] ** 2 * (share * (1 - share)) ** 2 * k / (k - 1)
    expected = of_the_share * len(seeds) / (share * (1 - share))
    assert design_effect(SPIKES) == pytest.approx(expected, rel=1e-6)


def test_by_hand():
    """Two spikes of 10, 2 and 6 seeds: variance 2 * (4 + 4) / 400, against 0.4 * 0.6 / 20."""
    assert design_effect(clusters((2, 10), (6, 10))) == pytest.approx(2 * 8 / 400 / (0.24 / 20))


def test_spikes_far_apart_are_seen_and_equal_ones_are_not():
    assert varies_more_than_chance(SPIKES) is True
    assert varies_more_than_chance(clusters((10, 20), (11, 20), (9, 20))) is False
    assert varies_more_than_chance(clusters((10, 20))) is None
    assert varies_more_than_chance(clusters((0, 20), (0, 30))) is None


def test_the_test_agrees_with_chi_square_where_counts_are_large():
    rng = np.random.default_rng(7)
    for spread in (0.0, 0.01, 0.02, 0.04):
        seeds = rng.binomial(400, np.clip(0.5 + spread * rng.standard_normal(12), 0, 1))
        p = chi2_contingency(np.array([seeds, 400 - seeds]), correction=False).pvalue
        if not 0.035 < p < 0.065:
            found = varies_more_than_chance(clusters(*((int(x), 400) for x in seeds)))
            assert found is bool(p <= 0.05)


def test_equal_spikes_are_called_different_in_at_most_one_of_twenty():
    rng = np.random.default_rng(11)
    called = 0
    for _ in range(300):
        seeds = rng.binomial(16, 0.05, size=6)
        called += varies_more_than_chance(clusters(*((int(x), 16) for x in seeds))) is True
    assert called <= 300 * 0.05 + 3 * (300 * 0.05 * 0.95) ** 0.5


@pytest.mark.parametrize("alike", [0.3, 0.7])
def test_the_interval_holds_the_share_where_spikes_differ(alike):
    """Beta-binomial spikes: by spike 95 % hold, while the exact interval misses far more often."""
    rng = np.random.default_rng(5)
    size = (1 - alike) / alike
    by_spike = exact = 0
    for _ in range(400):
        seeds = rng.binomial(20, rng.beta(0.6 * size, 0.4 * size, size=10))
        several = clusters(*((int(x), 20) for x in seeds))
        low, high = interval(several)
        by_spike += low <= 0.6 <= high
        low, high = clopper_pearson_interval(int(seeds.sum()), 200)
        exact += low <= 0.6 <= high
    assert by_spike >= 0.92 * 400
    assert exact <= 0.8 * 400


pairs = st.integers(1, 40).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@given(st.lists(pairs, min_size=2, max_size=12))
def test_the_interval_holds_the_share_and_is_never_narrower_than_the_exact_one(several):
    made = clusters(*several)
    events, trials = (sum(column) for column in zip(*several, strict=True))
    low, high = interval(made)
    exact_low, exact_high = clopper_pearson_interval(events, trials)
    assert 0 <= low <= exact_low + 1e-9
    assert exact_high - 1e-9 <= high <= 1


@given(st.lists(pairs, min_size=3, max_size=8))
def test_four_times_the_same_spikes_make_the_interval_narrower(several):
    made = clusters(*several)
    low, high = interval(made)
    longer_low, longer_high = interval(made * 4)
    assert longer_high - longer_low <= high - low + 1e-9


def test_groups_tell_it_together():
    """Two pairs by hand: (2 * (4 + 4) + 2 * (1 + 1)) / (20 * 0.24 + 20 * 0.25), 2 degrees."""
    one, other = clusters((2, 10), (6, 10)), clusters((4, 10), (6, 10))
    assert design_effect(one, other) == pytest.approx(20 / 9.8)
    assert clustering_of([one, other, clusters((3, 9)), clusters((0, 9), (0, 9))]).degrees == 2
    narrow = by_cluster_interval(one, clustering_of([one, other] * 5))
    wide = interval(one)
    assert wide[0] < narrow[0] < 0.4 < narrow[1] < wide[1]


def test_one_spike_tells_nothing_of_others():
    assert clustering_of([clusters((3, 20))]) is None
    assert clustering_of([clusters((0, 20), (0, 9))]) is None


def test_counts_fit_together():
    with pytest.raises(UsageError, match="3 events cannot come from 2"):
        Cluster(3, 2)
