"""The words around a verdict."""

from __future__ import annotations

import pytest

from spikecheck.cli.verdict_text import model_text, risk_text
from spikecheck.vocabulary import NETWORK_FREE, ModelIdentity, Risk


@pytest.mark.parametrize(
    ("p", "words"),
    [
        (0.0, "fewer than 1 in 1000 such spikes keeps an anther (probability 0;"),
        (0.0004, "fewer than 1 in 1000 such spikes keeps an anther (probability 0.0004;"),
        (0.02, "about 1 in 50 such spikes keeps an anther (probability 0.02;"),
        (0.5, "about 1 in 2 such spikes keeps an anther (probability 0.5;"),
        (0.97, "such a spike more likely than not keeps an anther (probability 0.97;"),
        (0.99, "such a spike more likely than not keeps an anther (probability 0.99;"),
        (0.996, "such a spike more likely than not keeps an anther (probability over 0.99;"),
        (1.0, "such a spike more likely than not keeps an anther (probability over 0.99;"),
    ],
)
def test_risk_is_told_as_a_frequency_with_its_number(p, words):
    assert risk_text(Risk(p, 0.01, calibrated=False)) == (
        f"Risk: {words} expected share of selfed seed 0.01; a rough figure, "
        "more high than low, not fitted on labelled photos)"
    )


def test_where_no_floret_was_seen_the_risk_is_not_known():
    assert risk_text(Risk(0.33, None, calibrated=False)) == (
        "Risk: not known, no floret could be judged (reckoned with: probability 0.33)"
    )


def test_selfed_share_and_calibration_are_told():
    assert risk_text(Risk(0.1, 0.034, calibrated=True)) == (
        "Risk: about 1 in 10 such spikes keeps an anther "
        "(probability 0.1; expected share of selfed seed 0.034; reckoned as if leftovers were as "
        "common as in the set it was calibrated on; where fewer are left, it is smaller)"
    )


def test_what_looked_is_told_and_that_rules_are_no_network():
    rules = ModelIdentity(NETWORK_FREE, "1", "ab" * 32)
    network = ModelIdentity("florets", "3", "ab" * 32)
    assert model_text(rules) == (
        "Looked at by: network-free 1 (rules on colour and shape, no trained network)"
    )
    assert model_text(network) == "Looked at by: florets 3 (network abababababab)"
