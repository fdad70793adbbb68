"""Fitting a score: the odds the examples were drawn with come out, and are written as they are."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.model_training.fit_score import fit_score, score_text
from spikecheck.thresholds.scores import parse_score

# what TOML can hold in a basic string: no lone surrogates, no control characters but escaped ones
TEXTS = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=30)


def test_a_fit_finds_the_odds_the_examples_were_drawn_with():
    rng = np.random.default_rng(7)
    features = rng.normal(size=(40_000, 2))
    true_odds = -0.5 + 1.2 * features[:, 0] - 0.8 * features[:, 1]
    right = rng.random(40_000) < 1 / (1 + np.exp(-true_odds))
    score = fit_score(features, right, names=("one", "other"), source="drawn")
    places = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [-1.0, 1.0]])
    expected = -0.5 + places @ [1.2, -0.8]
    assert score.log_odds(places) == pytest.approx(expected, abs=0.1)


def test_separable_examples_are_told_apart():
    wrong, right = np.linspace(-2, 0.2, 100), np.linspace(0.8, 2, 100)
    features = np.concatenate([wrong, right])[:, None]
    right = np.arange(200) >= 100
    score = fit_score(features, right, names=("one",), source="drawn")
    assert np.array_equal(score.log_odds(features) > 0, right)


def test_the_square_tells_what_lies_in_the_middle():
    features = np.linspace(-2, 2, 201)[:, None]
    right = np.abs(features[:, 0]) < 0.7
    score = fit_score(features, right, names=("one",), source="drawn")
    assert score.square_weights[0] < 0
    assert ((score.log_odds(features) > 0) == right).mean() > 0.97


def test_beyond_three_spreads_the_odds_stay_as_they_are():
    features = np.linspace(-1, 1, 50)[:, None]
    score = fit_score(features, features[:, 0] > 0, names=("one",), source="drawn")
    edge = score.mean + 3 * score.spread
    assert score.log_odds(edge[None] + 100) == pytest.approx(score.log_odds(edge[None]))
    assert score.log_odds(edge[None] - 0.1) < score.log_odds(edge[None])


def test_a_feature_that_never_varies_has_no_say():
    varied = np.linspace(-1, 1, 50)
    features = np.stack([varied, np.full(50, 4.0)], axis=1)
    score = fit_score(features, varied > 0, names=("one", "same"), source="drawn")
    assert score.weights[1] == pytest.approx(0, abs=1e-3)


@given(values=st.lists(st.floats(-100, 100), min_size=3, max_size=3), source=TEXTS, name=TEXTS)
@settings(max_examples=30, deadline=None)
def test_what_is_written_is_what_is_read(values, source, name):
    fitted = fit_score(
        np.array([[0.0], [1.0], [2.0]]),
        np.array([False, True, True]),
        names=(name,),
        source=source,
    )
    again = parse_score(score_text(fitted), name="one")
    assert (again.source, again.features) == (source, (name,))
    row = np.array(values)[:, None]
    assert again.log_odds(row) == pytest.approx(fitted.log_odds(row), rel=1e-3, abs=1e-3)
