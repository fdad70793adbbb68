"""Fitted scores: what is shipped fits what is measured, and bad files are refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.anthers import blob_features
from spikecheck.errors import ThresholdError
from spikecheck.model_training.network_free import fit_score, score_text
from spikecheck.segmentation import opening_features
from spikecheck.thresholds.scores import SCORES, load_score, parse_score, read_score_text


@pytest.mark.parametrize("name", SCORES)
def test_a_shipped_score_takes_the_features_that_are_measured(name):
    measured = opening_features if name == "opening_score" else blob_features
    assert load_score(name).features == measured.FEATURES


@pytest.mark.parametrize("name", SCORES)
def test_a_shipped_score_says_what_it_was_fitted_on(name):
    assert "seeds below 1000" in load_score(name).source
    assert (load_score(name).spread > 0).all()


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: text.replace("intercept", "intercepted"),
        lambda text: text.replace("weight = ", 'weight = "much" #', 1),
        lambda text: text + "[",
        lambda text: text.replace("[[feature]]", "[feature]", 1),
    ],
)
def test_a_damaged_score_file_is_refused(damage):
    with pytest.raises(ThresholdError, match=r"opening_score\.toml: not a score file"):
        parse_score(damage(read_score_text("opening_score")), name="opening_score")


def test_a_fit_finds_the_odds_the_examples_were_drawn_with():
    rng = np.random.default_rng(7)
    features = rng.normal(size=(40_000, 2))
    true_odds = -0.5 + 1.2 * features[:, 0] - 0.8 * features[:, 1]
    right = rng.random(40_000) < 1 / (1 + np.exp(-true_odds))
    score = fit_score(features, right, names=("one", "other"), source="drawn")
    places = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [-1.0, 1.0]])
    expected = -0.5 + places @ [1.2, -0.8]
    assert score.log_odds(places) == pytest.approx(expected, abs=0.1)


@given(values=st.lists(st.floats(-100, 100), min_size=3, max_size=3))
def test_what_is_written_is_what_is_read(values):
    fitted = fit_score(
        np.array([[0.0], [1.0], [2.0]]), np.array([False, True, True]), names=("one",), source="s"
    )
    again = parse_score(score_text(fitted), name="one")
    row = np.array(values)[:, None]
    assert again.log_odds(row) == pytest.approx(fitted.log_odds(row), rel=1e-3, abs=1e-3)
