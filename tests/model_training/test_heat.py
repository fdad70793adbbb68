"""Heat maps and their focal loss, against the formulas of Zhou et al. 2019."""

from __future__ import annotations

import numpy as np
import pytest

torch = pytest.importorskip("torch")

from spikecheck.model_training.heat import (  # noqa: E402
    at_cells,
    cells_of,
    focal_loss,
    heat_maps,
    nudged,
)


def heat_map(cells, size, shown, shape, stride):
    return heat_maps(cells, size, torch.where(shown, 0, -1), (1, *shape), stride)[0]


def test_a_cell_covers_its_four_pixels():
    # cell i covers px 4i to 4i + 3, whose outer edges lie half a pixel further out
    places = torch.tensor([[[-0.5, 3.4], [3.5, 7.4]]])
    assert cells_of(places, 4).tolist() == [[[0, 0], [1, 1]]]


def test_every_centre_is_one_and_bumps_join_by_the_larger():
    cells = torch.tensor([[[5, 5], [5, 8], [2, 14]], [[0, 0], [9, 9], [9, 9]]])
    size = torch.full((2, 3, 2), 24.0)
    shown = torch.tensor([[True, True, False], [True, True, True]])
    heat = heat_map(cells, size, shown, (12, 16), 4)
    assert heat[0, 5, 5] == heat[0, 5, 8] == heat[1, 0, 0] == 1
    assert heat[0, 2, 14] < 0.01
    assert heat.max() == 1
    spread = 0.18 * 24 / 4
    assert heat[0, 5, 4] == pytest.approx(np.exp(-1 / (2 * spread**2)))
    # between both: the nearer one's bump
    assert heat[0, 5, 6] == pytest.approx(np.exp(-1 / (2 * spread**2)))


def test_a_size_not_known_gives_the_narrowest_bump():
    cells = torch.tensor([[[5, 5]]])
    heat = heat_map(cells, torch.full((1, 1, 2), torch.nan), torch.tensor([[True]]), (12, 12), 4)
    assert heat[0, 5, 6] == pytest.approx(np.exp(-1 / (2 * 0.75**2)))


def test_the_focal_loss_is_that_of_the_paper():
    rng = np.random.default_rng(3)
    heat = np.clip(rng.random((1, 5, 6)), 0, 0.95).astype(np.float32)
    heat[0, 2, 3] = heat[0, 4, 1] = 1
    logits = rng.normal(size=(1, 5, 6)).astype(np.float32)
    chance = 1 / (1 + np.exp(-logits))
    # equation 1 of arXiv:1904.07850, alpha 2, beta 4, N centres
    yes = (1 - chance) ** 2 * np.log(chance)
    no = (1 - heat) ** 4 * chance**2 * np.log(1 - chance)
    expected = -np.where(heat == 1, yes, no).sum() / 2
    maps = torch.stack([torch.from_numpy(logits), torch.zeros(1, 5, 6)])
    other = torch.zeros(1, 5, 6)
    given = focal_loss(maps, torch.stack([torch.from_numpy(heat), other]), torch.ones_like(maps))
    assert float(given[0]) == pytest.approx(expected, rel=1e-5)
    assert float(given[1]) == pytest.approx(30 * 0.25 * np.log(2), rel=1e-5)  # no centre


def test_cells_of_weight_nothing_cost_nothing():
    heat, weight = torch.zeros(1, 1, 4, 4), torch.zeros(1, 1, 4, 4)
    assert float(focal_loss(torch.full((1, 1, 4, 4), 9.0), heat, weight)) == 0


def test_bumps_go_into_the_maps_they_are_told_to():
    cells = torch.tensor([[[2, 3], [4, 5], [6, 7]], [[2, 3], [4, 5], [6, 7]]])
    number = torch.tensor([[0, 1, -1], [1, -1, 0]])
    heat = heat_maps(cells, torch.full((2, 3, 2), 9.0), number, (2, 8, 10), 4)
    centres = [tuple(place) for place in torch.nonzero(heat == 1).tolist()]
    assert centres == [(0, 0, 2, 3), (0, 1, 6, 7), (1, 0, 4, 5), (1, 1, 2, 3)]


def test_values_are_read_at_the_cells_asked_for():
    maps = torch.arange(2 * 3 * 4 * 5.0).view(2, 3, 4, 5)
    cells = torch.tensor([[[1, 2], [3, 4]], [[0, 0], [9, -1]]])
    found = at_cells(maps, cells)
    assert found.shape == (2, 2, 3)
    assert found[0, 0].tolist() == maps[0, :, 1, 2].tolist()
    assert found[0, 1].tolist() == maps[0, :, 3, 4].tolist()
    assert found[1, 1].tolist() == maps[1, :, 3, 0].tolist()  # beyond the map: its edge


def test_a_nudge_goes_to_a_neighbour_at_most():
    torch.manual_seed(0)
    cells = torch.full((20, 20, 2), 7)
    off = (nudged(cells) - 7).abs()
    assert off.max() == 1
    assert 0.4 < (off == 0).all(dim=2).float().mean() < 0.7
