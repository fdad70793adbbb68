"""Fitted scores: what is shipped fits what is measured, and bad files are refused."""

from __future__ import annotations

import pytest

from spikecheck.anthers import blob_features
from spikecheck.errors import ThresholdError
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
