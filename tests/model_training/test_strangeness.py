"""Strangeness: a squared Mahalanobis distance with a shrunk covariance."""

from __future__ import annotations

import numpy as np
import pytest

torch = pytest.importorskip("torch")

from scipy.spatial.distance import mahalanobis  # noqa: E402

from spikecheck.model_training.strangeness import Strangeness  # noqa: E402


def settled(features):
    strangeness = Strangeness(features.shape[1])
    strangeness.settle(torch.from_numpy(features.astype(np.float32)))
    return strangeness


def ledoit_wolf(features):
    """Return covariance by Ledoit and Wolf 2004, written out with one loop over the samples."""
    count, width = features.shape
    centred = features - features.mean(axis=0)
    covariance = centred.T @ centred / count
    target = np.trace(covariance) / width * np.eye(width)
    far = ((covariance - target) ** 2).sum() / width
    spread = sum(((np.outer(x, x) - covariance) ** 2).sum() / width for x in centred) / count**2
    weight = min(spread, far) / far
    return weight * target + (1 - weight) * covariance


@pytest.mark.parametrize("count", [8, 400])
def test_the_distance_is_scipy_s_with_the_shrunk_covariance(count):
    rng = np.random.default_rng(5)
    features = rng.normal(size=(count, 6)) @ rng.normal(size=(6, 6)) + 3
    inverse = np.linalg.inv(ledoit_wolf(features))
    others = rng.normal(size=(5, 6)).astype(np.float32) * 4
    given = settled(features)(torch.from_numpy(others))[:, 0].numpy()
    expected = [mahalanobis(one, features.mean(axis=0), inverse) ** 2 for one in others]
    assert given == pytest.approx(expected, rel=1e-3)


def test_a_stranger_is_stranger_than_those_it_learned_from():
    rng = np.random.default_rng(6)
    features = rng.normal(size=(2000, 10))
    strangeness = settled(features)
    known = strangeness(torch.from_numpy(features.astype(np.float32)))
    assert float(known.mean()) == pytest.approx(10, rel=0.05)  # mean of chi-square of 10
    assert float(strangeness(torch.full((1, 10), 4.0))) > float(known.max())


def test_features_that_never_vary_do_no_harm():
    features = np.zeros((50, 4))
    features[:, 0] = np.linspace(-1, 1, 50)
    assert torch.isfinite(settled(features)(torch.ones(1, 4))).all()


def test_before_it_is_settled_nothing_is_strange():
    assert Strangeness(3)(torch.ones(2, 3)).tolist() == [[0], [0]]
