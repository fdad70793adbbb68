"""How well two things are told apart, and which way a person leans.

The equal-variance normal model of signal detection: d' says how far leftovers stand out, in
standard deviations of what a clean spike looks like; the criterion c is 0 without a leaning, above
0 for a person who rather says pass, below 0 for one who rather says review.

References
----------
Hautus MJ (1995). Corrections for extreme proportions and their biasing effects on estimated values
of d'. Behavior Research Methods, Instruments, & Computers 27:46-51.
Macmillan NA, Creelman CD (2005). Detection Theory: A User's Guide, 2nd ed., chapters 1 and 2.
Stanislaw H, Todorov N (1999). Calculation of signal detection theory measures. Behavior Research
Methods, Instruments, & Computers 31:137-149.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist

from spikecheck.errors import UsageError


@dataclass(frozen=True, slots=True)
class Detection:
    """Sensitivity and leaning.

    Parameters
    ----------
    d_prime
        ``z(hit rate) - z(false-alarm rate)``, standard deviations.
    criterion
        ``-(z(hit rate) + z(false-alarm rate)) / 2``, standard deviations.
    """

    d_prime: float
    criterion: float


def detection_of_rates(hit_rate: float, false_alarm_rate: float) -> Detection:
    """Return d' and c of two rates.

    Raises
    ------
    UsageError
        If a rate is not above 0 and below 1, where neither is finite.
    """
    for rate in (hit_rate, false_alarm_rate):
        if not 0 < rate < 1:
            raise UsageError(f"d' needs rates above 0 and below 1, got {rate}")
    hit, false_alarm = map(NormalDist().inv_cdf, (hit_rate, false_alarm_rate))
    return Detection(d_prime=hit - false_alarm, criterion=-(hit + false_alarm) / 2)


def detection_of_counts(hits: int, signals: int, false_alarms: int, noises: int) -> Detection:
    """Return d' and c of counts, with the log-linear correction.

    Half an event is added to each count and one to each number of trials, whether or not a rate is
    0 or 1 (Hautus 1995): so both are finite, and d' is rather too small than too large.

    Parameters
    ----------
    hits, signals
        How many of the trials with a signal were answered as such; 1 trial or more.
    false_alarms, noises
        How many of the trials without one were; 1 trial or more.

    Raises
    ------
    UsageError
        If the counts cannot be.
    """
    for events, trials in ((hits, signals), (false_alarms, noises)):
        if not (trials >= 1 and 0 <= events <= trials):
            raise UsageError(f"d' needs 0 <= events <= trials, got {events} of {trials}")
    return detection_of_rates((hits + 0.5) / (signals + 1), (false_alarms + 0.5) / (noises + 1))
