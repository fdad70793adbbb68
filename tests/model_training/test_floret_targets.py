"""What the florets network is taught, and that answering so costs less than any other answer."""

from __future__ import annotations

import math

import pytest

torch = pytest.importorskip("torch")

from spikecheck.model_training.loss_florets import floret_loss  # noqa: E402
from spikecheck.model_training.sampling import Placed  # noqa: E402
from spikecheck.model_training.targets_florets import IGNORED, floret_targets  # noqa: E402
from spikecheck.networks.outputs import FLORET_CHANNELS, FloretMap  # noqa: E402

NAN = math.nan
YES = torch.tensor([True])


def objects(*rows):
    """Each row: centre row, column, height, width, then the four columns of its kind."""
    values = torch.tensor(rows, dtype=torch.float32).view(1, -1, 8)
    columns = torch.cat([values[..., :2], values[..., 4:]], dim=2)
    return Placed(values[..., :2], values[..., 2:4], columns, torch.isfinite(values[..., 0]))


def targets(classes=None, anthers=None, florets=None, **more):
    classes = torch.zeros(1, 64, 64, dtype=torch.uint8) if classes is None else classes
    none = objects([NAN] * 8)
    known = {"complete": YES, "florets_marked": YES, "side_sign": torch.ones(1), **more}
    return floret_targets(classes, anthers or none, florets or none, **known)


GREEN = [20.0, 30.0, 8, 24, 0, 0, 1, 0.5]  # broken, 0.5 mm²
LEFT_ONE = [40.0, 20.0, 40, 20, 1, 1, 0.75, 0.0]  # left, clipped, cavity, no anther


def test_cells_take_the_class_of_most_pixels_and_small_shares_of_anther_are_left_open():
    classes = torch.zeros(1, 64, 64, dtype=torch.uint8)
    classes[0, :8, :8] = 1
    classes[0, 8:12, :4] = 2
    classes[0, 12:16, :4] = 6
    classes[0, 0:4, 0:4] = 4  # a cell full of yellow anther
    classes[0, 4:6, 0:1] = 5  # two of sixteen pixels
    classes[0, 40:44, 40:44] = 255
    told = targets(classes)
    assert told.tissue[0, :4, 0].tolist() == [1, 1, 2, 2]
    assert told.anther_pixel[0, :3, 0].tolist() == [2, IGNORED, 0]
    assert told.tissue[0, 10, 10] == told.anther_pixel[0, 10, 10] == IGNORED
    assert told.tissue[0, 12, 12] == 0


def test_an_anther_is_taught_with_size_and_attributes_and_a_sliver_not():
    sliver = [50.0, 50.0, 2, 2, 0, NAN, NAN, 0.03]
    told = targets(anthers=objects(GREEN, sliver))
    assert told.anther_heat[0, 5, 7] == 1
    assert told.anther_heat[0, 12, 12] < 0.1
    assert told.anther_weight[0, 12, 12] == 0
    assert told.anther_weight[0, 5, 7] == 1
    assert told.anther_taught[0].tolist() == [True, False]
    assert told.anther_ln_mm[0, 0].exp().tolist() == pytest.approx([0.4, 1.2])
    assert told.broken[0, 0] == 1


def test_where_not_all_anthers_are_listed_their_absence_is_not_taught():
    told = targets(anthers=objects(GREEN), complete=torch.tensor([False]))
    assert told.anther_weight[0, 5, 7] == 1
    assert told.anther_weight[0, 15, 15] == 0


def test_sides_are_those_of_the_crop_and_front_is_neither():
    front = [40.0, 50.0, 40, 20, 0.5, 1, 0.75, NAN]
    for sign, expected in ((1.0, [1, 0.5]), (-1.0, [0, 0.5])):
        told = targets(florets=objects(LEFT_ONE, front), side_sign=torch.tensor([sign]))
        assert told.left[0].tolist() == expected
    assert told.holds_anther[0, 0] == 0
    assert torch.isnan(told.holds_anther[0, 1])


def test_a_floret_holds_an_anther_only_when_enough_of_it_shows():
    shown = [[*LEFT_ONE[:7], area] for area in (0.0, 0.05, 0.3, math.inf)]
    held = targets(florets=objects(*shown)).holds_anther[0]
    assert held[[0, 2, 3]].tolist() == [0, 1, 1]
    assert torch.isnan(held[1])


def test_uncut_florets_mark_their_tissue():
    uncut = [32.0, 32.0, 32, 16, 0, 0, 0.0, 0.0]
    told = targets(florets=objects(uncut, LEFT_ONE))
    assert told.uncut[0, 8, 8] == 1
    assert told.uncut[0, 10, 5] == 0  # the clipped one
    assert 0.7 * 32 < told.uncut.sum() < 1.1 * 32  # ellipse of 8 x 4 cells is 25


def perfect(told):
    """Return maps that say exactly what was taught."""
    maps = torch.zeros(1, FLORET_CHANNELS, 16, 16)
    for first, classes in ((0, told.tissue), (FloretMap.ANTHER_PIXEL, told.anther_pixel)):
        count = 3 if first == 0 else 4
        hot = torch.nn.functional.one_hot(classes.clamp(min=0), count).permute(0, 3, 1, 2)
        maps[:, first : first + count] = 20.0 * hot
    for channel, heat in (
        (FloretMap.ANTHER_HEAT, told.anther_heat), (FloretMap.FLORET_HEAT, told.floret_heat),
    ):  # fmt: skip
        maps[:, channel] = torch.logit(heat.clamp(1e-4, 1 - 1e-4))
    maps[:, FloretMap.UNCUT] = 40 * told.uncut - 20
    for cells, taught, channels in (
        (told.anther_cells, told.anther_taught, {
            FloretMap.NEAR_ANTHESIS: told.near_anthesis, FloretMap.BROKEN: told.broken,
            FloretMap.ANTHER_SIZE: told.anther_ln_mm[..., 0],
            FloretMap.ANTHER_SIZE + 1: told.anther_ln_mm[..., 1],
        }),
        (told.floret_cells, told.floret_taught, {
            FloretMap.CLIPPED: told.clipped, FloretMap.CAVITY: told.cavity,
            FloretMap.LEFT: told.left, FloretMap.HOLDS_ANTHER: told.holds_anther,
            FloretMap.FLORET_SIZE: told.floret_ln_mm[..., 0],
            FloretMap.FLORET_SIZE + 1: told.floret_ln_mm[..., 1],
        }),
    ):  # fmt: skip
        for number in range(cells.shape[1]):
            if not taught[0, number]:
                continue
            row, column = cells[0, number].tolist()
            for channel, value in channels.items():
                wanted = value[0, number]
                size = channel in {
                    FloretMap.ANTHER_SIZE, FloretMap.ANTHER_SIZE + 1, FloretMap.FLORET_SIZE,
                    FloretMap.FLORET_SIZE + 1,
                }  # fmt: skip
                answer = wanted if size else torch.logit(wanted.clamp(1e-6, 1 - 1e-6))
                maps[0, channel, row - 1 : row + 2, column - 1 : column + 2] = answer
    return maps


def test_saying_what_was_taught_costs_least():
    torch.manual_seed(0)
    classes = torch.zeros(1, 64, 64, dtype=torch.uint8)
    classes[0, :, 16:48] = 1
    classes[0, 16:24, 20:40] = 3
    told = targets(classes, objects(GREEN), objects(LEFT_ONE))
    maps = perfect(told)
    best = floret_loss(maps, told)
    assert best["tissue"] < 1e-3
    assert best["size"] < 1e-6
    assert best["anther_heat"] < 0.1
    for channel in range(FLORET_CHANNELS):
        wrong = maps.clone()
        wrong[:, channel] = 15 - wrong[:, channel]
        assert sum(floret_loss(wrong, told).values()) > sum(best.values()), channel


def test_a_wrong_stage_costs_as_much_however_small_the_anther():
    costs = []
    for rows, columns in ((4, 4), (8, 20)):
        classes = torch.ones(1, 64, 64, dtype=torch.uint8)
        classes[0, 16 : 16 + rows, 20 : 20 + columns] = 4
        told = targets(classes)
        maps = torch.zeros(1, FLORET_CHANNELS, 16, 16)
        maps[:, FloretMap.ANTHER_PIXEL + 1] = 6.0  # green, though it is yellow
        costs.append(float(floret_loss(maps, told)["stage"]))
    assert costs[0] > 1
    assert costs[0] == pytest.approx(costs[1])


def test_a_hidden_opening_taken_for_seen_costs_more_than_a_seen_one_taken_for_hidden():
    hidden, seen = [*LEFT_ONE[:6], 0.0, 0.0], [12.0, *LEFT_ONE[1:6], 1.0, 0.0]
    told = targets(florets=objects(hidden, seen))
    costs = []
    for answer in (6.0, -6.0):
        maps = torch.zeros(1, FLORET_CHANNELS, 16, 16)
        maps[:, FloretMap.CAVITY] = answer
        costs.append(float(floret_loss(maps, told)["cavity"]))
    assert costs[0] == pytest.approx(4 * costs[1], rel=0.02)


def test_what_nobody_knows_costs_nothing():
    unknown = torch.full((1, 64, 64), 255, dtype=torch.uint8)
    no = torch.tensor([False])
    told = targets(unknown, complete=no, florets_marked=no)
    parts = floret_loss(torch.randn(1, FLORET_CHANNELS, 16, 16), told)
    assert all(float(part) == 0 for part in parts.values())
