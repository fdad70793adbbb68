"""Blocks are left out of some pictures while fitting, and never else."""

from __future__ import annotations

import pytest

torch = pytest.importorskip("torch")

from spikecheck.model_training.blocks import Residual, WideView, sometimes_left_out  # noqa: E402


def test_a_branch_is_whole_or_nothing_and_right_on_average():
    torch.manual_seed(0)
    branch = torch.ones(4000, 2, 1, 1)
    kept = sometimes_left_out(branch, fitting=True)[:, :, 0, 0]
    assert torch.equal(kept[:, 0], kept[:, 1])
    shares = kept[:, 0].unique()
    assert shares.tolist() == [0.0, pytest.approx(1 / 0.9)]
    # four standard errors of a share of 0.9 in 4000
    assert kept.mean() == pytest.approx(1, abs=4 * (0.1 * 0.9 / 4000) ** 0.5 / 0.9)


def test_nothing_is_left_out_of_a_branch_that_is_not_fitted():
    branch = torch.rand(8, 3, 4, 4)
    assert sometimes_left_out(branch, fitting=False) is branch


@pytest.mark.parametrize("block", [Residual, WideView])
def test_a_block_is_left_out_of_some_pictures_only_while_it_is_fitted(block):
    torch.manual_seed(1)
    one = block(8)
    maps = torch.rand(1, 8, 6, 6).repeat(64, 1, 1, 1)
    with torch.no_grad():
        fitted = one.train()(maps)
        still = one.eval()(maps)
    untouched = (fitted == maps).flatten(1).all(dim=1)
    assert 0 < untouched.sum() < 30
    assert torch.equal(still[0], still[-1])
