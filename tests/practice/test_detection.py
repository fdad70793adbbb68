"""d' and the criterion: against a published example, scipy's normal, and their laws."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from spikecheck.errors import UsageError
from spikecheck.practice import detection_of_counts, detection_of_rates


def test_the_published_example():
    """Macmillan & Creelman 2005, chapter 1: hits 0.8, false alarms 0.4; d' 1.095, from memory."""
    known = detection_of_rates(0.8, 0.4)
    assert known.d_prime == pytest.approx(1.095, abs=5e-4)
    assert known.criterion == pytest.approx(-0.294, abs=5e-4)  # chapter 2, -(0.842 - 0.253) / 2


def test_the_correction_is_half_an_event_in_one_trial_more():
    """Hautus 1995, and Stanislaw & Todorov 1999: add 0.5 to the counts and 1 to the trials."""
    known = detection_of_counts(20, 25, 10, 25)
    hit, false_alarm = norm.ppf(20.5 / 26), norm.ppf(10.5 / 26)
    assert known.d_prime == pytest.approx(hit - false_alarm)
    assert known.criterion == pytest.approx(-(hit + false_alarm) / 2)


counts = st.integers(1, 500).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@given(counts, counts)
def test_against_scipy_and_under_exchange(signal, noise):
    (hits, signals), (alarms, noises) = signal, noise
    known = detection_of_counts(hits, signals, alarms, noises)
    hit = norm.ppf((hits + 0.5) / (signals + 1))
    false_alarm = norm.ppf((alarms + 0.5) / (noises + 1))
    assert known.d_prime == pytest.approx(hit - false_alarm, abs=1e-9)
    assert known.criterion == pytest.approx(-(hit + false_alarm) / 2, abs=1e-9)
    exchanged = detection_of_counts(alarms, noises, hits, signals)
    assert exchanged.d_prime == pytest.approx(-known.d_prime, abs=1e-12)
    answered_otherwise = detection_of_counts(signals - hits, signals, noises - alarms, noises)
    assert answered_otherwise.criterion == pytest.approx(-known.criterion, abs=1e-9)


@given(counts, counts)
def test_one_more_hit_tells_more_apart_and_leans_to_review(signal, noise):
    (hits, signals), rest = signal, noise
    if hits < signals:
        before = detection_of_counts(hits, signals, *rest)
        after = detection_of_counts(hits + 1, signals, *rest)
        assert after.d_prime > before.d_prime
        assert after.criterion < before.criterion


@pytest.mark.parametrize("rates", [(0, 0.5), (1, 0.5), (0.5, 0), (0.5, 1.2)])
def test_rates_without_a_finite_answer_are_refused(rates):
    with pytest.raises(UsageError, match="above 0 and below 1"):
        detection_of_rates(*rates)


@pytest.mark.parametrize("known", [(3, 2, 0, 1), (0, 0, 0, 1), (0, 1, -1, 1), (1, 1, 0, 0)])
def test_counts_that_cannot_be_are_refused(known):
    with pytest.raises(UsageError, match="0 <= events <= trials"):
        detection_of_counts(*known)
