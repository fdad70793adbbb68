"""The score interval of a ratio against statsmodels, its laws, and rates of two theses."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.proportion import confint_proportions_2indep

from spikecheck.errors import UsageError
from spikecheck.outcomes import expected_selfed_share, expected_share_sentence, ratio_interval
from tests.outcomes.spikes import control, crossed


@pytest.mark.parametrize(
    "counts",
    [(3, 60, 116, 200), (1, 300, 55, 100), (10, 20, 10, 30), (36, 40, 16, 80), (4, 100, 1, 90)],
)
@pytest.mark.parametrize("confidence", [0.9, 0.95, 0.99])
def test_it_is_the_score_interval_of_statsmodels(counts, confidence):
    expected = confint_proportions_2indep(
        *counts, method="score", compare="ratio", alpha=1 - confidence, correction=False
    )
    assert ratio_interval(*counts, confidence) == pytest.approx(expected, rel=1e-4)


def test_koopmans_example():
    """Koopman 1984: 36 of 40 against 16 of 80 gives 2.94 to 7.15 (quoted in manuals; memory)."""
    low, high = ratio_interval(36, 40, 16, 80)
    assert (low, high) == pytest.approx((2.94, 7.15), abs=0.005)


@given(
    st.integers(1, 80).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))),
    st.integers(1, 80).flatmap(lambda n: st.tuples(st.integers(1, n), st.just(n))),
)
def test_it_holds_the_ratio_and_narrows_with_more_counts(one, other):
    ratio = one[0] / one[1] / (other[0] / other[1])
    low, high = ratio_interval(*one, *other)
    assert 0 <= low <= ratio * (1 + 1e-9)
    assert ratio <= high * (1 + 1e-9)
    assert math.isfinite(high)
    four = ratio_interval(*(4 * x for x in one), *(4 * x for x in other))
    assert low <= four[0] * (1 + 1e-6) + 1e-12
    assert four[1] <= high * (1 + 1e-6)


@pytest.mark.parametrize(
    ("selfing", "set_", "share"),
    [((67, 10_000), (5_818, 10_000), 0.0115), ((49, 1_000), (683, 1_000), 0.072)],
)
def test_rates_of_two_theses(selfing, set_, share):
    """University of Tennessee MSc theses 7744 (0.67 and 58.18 %) and 7752 (4.9 and 68.3 %, 1980).

    Their counts are not known here, only the rates: the quotient is what is checked.
    """
    found = expected_selfed_share([control(*selfing), crossed(*set_)])
    assert found.share == pytest.approx(share, abs=0.0005)
    assert found.low < share < found.high


def test_spikes_that_differ_widen_it():
    alike = [control(1, 20), *(crossed(12, 20, spike) for spike in range(2, 8))]
    apart = [control(1, 20), *(crossed(x, 20, x) for x in (2, 20, 19, 5, 20, 6))]
    one, other = expected_selfed_share(alike), expected_selfed_share(apart)
    assert one.share == other.share
    assert other.high - other.low > one.high - one.low


def test_no_selfed_seed_still_has_an_upper_end():
    found = expected_selfed_share([control(0, 60), crossed(30, 60)])
    assert (found.share, found.low) == (0, 0)
    assert 0.05 < found.high < 0.2
    assert "0 seeds of 60 control florets and 30 of 60 florets" in expected_share_sentence(found)


def test_a_share_is_at_most_one():
    found = expected_selfed_share([control(20, 20), crossed(2, 20)])
    assert (found.share, found.high) == (1, 1)


@pytest.mark.parametrize(
    "spikes", [[], [control(0, 20)], [crossed(5, 9)], [control(1, 9), crossed(0, 9)]]
)
def test_what_cannot_be_told_is_not_told(spikes):
    assert expected_selfed_share(spikes) is None
    assert "it takes threshed control spikes" in expected_share_sentence(None)


@pytest.mark.parametrize("counts", [(3, 2, 1, 2), (0, 5, 0, 5), (-1, 5, 1, 5), (1, 5, 6, 5)])
def test_counts_that_cannot_be(counts):
    with pytest.raises(UsageError, match="no ratio"):
        ratio_interval(*counts)
    with pytest.raises(UsageError, match="between 0 and 1"):
        ratio_interval(1, 2, 1, 2, 95)
