"""Wald's test: published plan, closed forms, exact error rates, and simulated people."""

from __future__ import annotations

import math
from itertools import count

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from spikecheck.errors import UsageError
from spikecheck.practice import Decision, SequentialTest, sign_off_test
from tests.practice.photos import NUMBERS

SHIPPED = sign_off_test(NUMBERS)
NIST = SequentialTest(0.01, 0.10, good_sent_back=0.05, poor_signed_off=0.10)
SIGNED_OFF, NOT_YET, MORE = Decision.SIGNED_OFF, Decision.NOT_YET, Decision.MORE_PRACTICE


def test_the_published_plan():
    """NIST/SEMATECH e-Handbook, 6.2.6: p1 0.01, p2 0.10, alpha 0.05, beta 0.10; from memory."""
    assert NIST.sign_off_intercept == pytest.approx(-0.939, abs=5e-4)
    assert NIST.practice_intercept == pytest.approx(1.205, abs=5e-4)
    assert NIST.slope == pytest.approx(0.0397, abs=5e-5)
    assert (NIST.misses_most(23), NIST.misses_most(24)) == (None, 0)
    assert (NIST.misses_too_many(1), NIST.misses_too_many(2)) == (None, 2)
    assert NIST.misses_too_many(24) == 3


def test_the_lines_are_the_likelihood_ratio():
    """Wald 1947, chapter 3: stop at B = beta / (1 - alpha) and A = (1 - beta) / alpha."""
    for trials in range(1, 150):
        for misses in range(trials + 1):
            ratio = (0.20 / 0.05) ** misses * (0.80 / 0.95) ** (trials - misses)
            most, too_many = SHIPPED.misses_most(trials), SHIPPED.misses_too_many(trials)
            assert (ratio <= 0.05 / 0.90) == (most is not None and misses <= most)
            assert (ratio >= 0.95 / 0.10) == (too_many is not None and misses >= too_many)


def test_decisions_after_a_sequence():
    enough = next(n for n in count(1) if SHIPPED.misses_most(n) is not None)
    assert SHIPPED.decide([]) == (NOT_YET, 0, 0)
    assert SHIPPED.decide([False] * (enough - 1)) == (NOT_YET, enough - 1, 0)
    assert SHIPPED.decide([False] * enough) == (SIGNED_OFF, enough, 0)
    assert SHIPPED.decide([False] * enough + [True] * 50) == (SIGNED_OFF, enough, 0)
    assert SHIPPED.decide([True, True]) == (MORE, 2, 2)
    assert SHIPPED.decide([True] + [False] * enough)[0] is NOT_YET


rates = st.floats(0.01, 0.4).flatmap(
    lambda low: st.tuples(st.just(low), st.floats(low + 0.02, 0.9))
)
chances = st.floats(0.005, 0.3)
tests = st.builds(lambda pair, a, b: SequentialTest(*pair, a, b), rates, chances, chances)


@given(tests)
def test_the_operating_characteristic_at_its_known_points(test):
    """Wald 1947, chapter 3: 1 - alpha at p0, beta at p1, h2 / (h1 + h2) at the slope."""
    assert test.chance_signed_off(test.acceptable) == pytest.approx(1 - test.good_sent_back)
    assert test.chance_signed_off(test.unacceptable) == pytest.approx(test.poor_signed_off)
    h1, h2 = -test.sign_off_intercept, test.practice_intercept
    assert test.chance_signed_off(test.slope) == pytest.approx(h2 / (h1 + h2), abs=1e-6)
    assert test.trials_expected(test.slope) == pytest.approx(
        h1 * h2 / (test.slope * (1 - test.slope)), rel=1e-6
    )
    beside = test.trials_expected(test.slope * (1 + 3e-6))
    assert beside == pytest.approx(test.trials_expected(test.slope), rel=1e-3)
    assert test.acceptable < test.slope < test.unacceptable
    assert test.chance_signed_off(0) == 1
    assert test.chance_signed_off(1) == 0
    assert test.trials_expected(0) == pytest.approx(h1 / test.slope)
    assert test.trials_expected(1) == pytest.approx(h2 / (1 - test.slope))


@given(tests, st.floats(-8, 8))
def test_the_operating_characteristic_along_h(test, h):
    """Wald 1947, section 3.4: p and L in the parameter h, written as they stand there."""
    if abs(h) < 1e-3:
        return
    a, b = test.unacceptable / test.acceptable, (1 - test.unacceptable) / (1 - test.acceptable)
    upper = (1 - test.poor_signed_off) / test.good_sent_back
    lower = test.poor_signed_off / (1 - test.good_sent_back)
    rate = (1 - b**h) / (a**h - b**h)
    assert test.rate_at(h) == pytest.approx(rate, rel=1e-6)
    chance = (upper**h - 1) / (upper**h - lower**h)
    if 1e-6 < rate < 1 - 1e-6:
        assert test.chance_signed_off(rate) == pytest.approx(chance, abs=1e-5)


@given(tests, st.floats(0, 1), st.floats(0, 1))
def test_who_misses_more_is_never_likelier_to_be_signed_off(test, one, other):
    fewer, more = sorted((one, other))
    assert 0 <= test.chance_signed_off(more) <= test.chance_signed_off(fewer) + 1e-9 <= 1 + 1e-9
    assert test.trials_expected(more) > 0


@given(tests, st.lists(st.booleans(), max_size=120), st.integers(0, 120))
def test_a_find_instead_of_a_miss_never_harms(test, missed, place):
    order = [MORE, NOT_YET, SIGNED_OFF]
    better = [miss and index != place for index, miss in enumerate(missed)]
    assert order.index(test.decide(better)[0]) >= order.index(test.decide(missed)[0])


def exactly(test, rate, trials_most=3000):
    """Chance to be signed off and mean trials, by adding up every way the misses can go."""
    chance, signed_off, mean = np.array([1.0]), 0.0, 0.0
    for trials in range(1, trials_most):
        mean += chance.sum()
        longer = np.append(chance * (1 - rate), 0.0) + np.append(0.0, chance * rate)
        most, too_many = test.misses_most(trials), test.misses_too_many(trials)
        if most is not None:
            signed_off += longer[: most + 1].sum()
            longer[: most + 1] = 0
        if too_many is not None:
            longer[too_many:] = 0
        chance = longer
        if chance.sum() < 1e-12:
            return signed_off, mean
    raise AssertionError("did not end")


@pytest.mark.parametrize("test", [SHIPPED, NIST], ids=["shipped", "published"])
def test_exact_error_rates_keep_walds_bounds(test):
    """Wald 1947, section 3.3: errors at most alpha / (1 - beta), beta / (1 - alpha), their sum."""
    sent_back = 1 - exactly(test, test.acceptable)[0]
    signed_off = exactly(test, test.unacceptable)[0]
    assert sent_back <= test.good_sent_back / (1 - test.poor_signed_off)
    assert signed_off <= test.poor_signed_off / (1 - test.good_sent_back)
    assert sent_back + signed_off <= test.good_sent_back + test.poor_signed_off


@pytest.mark.parametrize("rate", [0.02, 0.05, 0.08, 0.11, 0.15, 0.20, 0.30])
def test_the_closed_forms_are_near_the_exact_ones(rate):
    """They leave out how far a line is overshot: a miss is worth half the way to a line."""
    chance, mean = exactly(SHIPPED, rate)
    assert SHIPPED.chance_signed_off(rate) == pytest.approx(chance, abs=0.08)
    assert SHIPPED.trials_expected(rate) == pytest.approx(mean, rel=0.25)


@pytest.mark.parametrize("rate", [SHIPPED.acceptable, SHIPPED.unacceptable])
def test_simulated_people(rate):
    """Misses drawn at random: errors within the bounds, and the exact chance is not rejected."""
    rng = np.random.default_rng(20260504)
    people = 3000
    decisions = [SHIPPED.decide(rng.random(1500) < rate)[0] for _ in range(people)]
    assert NOT_YET not in decisions
    signed_off = decisions.count(SIGNED_OFF)
    chance = exactly(SHIPPED, rate)[0]
    assert binomtest(signed_off, people, chance).pvalue > 0.001
    a, b = SHIPPED.good_sent_back, SHIPPED.poor_signed_off
    wrong, bound = (
        (people - signed_off, a / (1 - b)) if rate == SHIPPED.acceptable
        else (signed_off, b / (1 - a))
    )  # fmt: skip
    assert binomtest(wrong, people, bound, alternative="greater").pvalue > 0.001
    assert binomtest(wrong, people, bound / 3, alternative="greater").pvalue < 0.001


@pytest.mark.parametrize(
    ("numbers", "said"),
    [
        ((0.2, 0.05, 0.1, 0.1), "acceptable < unacceptable"),
        ((0, 0.05, 0.1, 0.1), "acceptable < unacceptable"),
        ((0.1, 1, 0.1, 0.1), "acceptable < unacceptable"),
        ((0.1, 0.2, 0, 0.1), "below a half"),
        ((0.1, 0.2, 0.1, 0.5), "below a half"),
        ((math.nan, 0.2, 0.1, 0.1), "acceptable < unacceptable"),
    ],
)
def test_a_plan_that_cannot_be_is_refused(numbers, said):
    with pytest.raises(UsageError, match=said):
        SequentialTest(*numbers)


@pytest.mark.parametrize("rate", [-0.1, 1.1, math.nan])
def test_a_rate_that_cannot_be_is_refused(rate):
    with pytest.raises(UsageError, match="lies in 0"):
        SHIPPED.chance_signed_off(rate)
    with pytest.raises(UsageError, match="lies in 0"):
        SHIPPED.trials_expected(rate)
