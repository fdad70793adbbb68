"""What is cut out of crops, what of it is hidden, where it is set in and in which light."""

from __future__ import annotations

import pytest

torch = pytest.importorskip("torch")

from spikecheck.model_training import transplant_pieces, transplant_rim  # noqa: E402
from spikecheck.model_training.marks import AntherColumn, FloretColumn  # noqa: E402
from spikecheck.model_training.sampling import Placed  # noqa: E402
from spikecheck.model_training.transplant import transplanted  # noqa: E402
from spikecheck.model_training.transplant_pieces import drawn_pieces  # noqa: E402
from spikecheck.model_training.transplant_rim import not_hidden  # noqa: E402
from spikecheck.model_training.transplant_spots import drawn_spots, holding_more  # noqa: E402
from tests.model_training.pasted_crops import AREA_MM2, NAN, batch  # noqa: E402


def test_anthers_that_would_bring_another_along_or_are_small_are_not_taken():
    images, classes, anthers, _, _ = batch(2)
    both = torch.arange(2)
    whole = drawn_pieces(images, classes, anthers, both, 64)
    assert whole.shown.flatten(1).any(dim=1).all()
    for change in (
        {"centre": (1, [98.0, 70.0]), "size": (1, [11.0, 25.0])},
        {"columns": (0, [0, 0, 0, 1, 0, 0.1])},
        {"size": (0, [NAN, NAN])},
        {"centre": (0, [3.0, 64.0])},
    ):
        copies = {f: getattr(anthers, f).clone() for f in ("centre", "size", "columns", "inside")}
        for field, (number, value) in change.items():
            copies[field][:, number] = torch.tensor(value, dtype=torch.float32)
        pieces = drawn_pieces(images, classes, Placed(**copies), both, 64)
        assert not pieces.shown.any(), change


def test_a_rim_leaves_the_tip_of_some(monkeypatch):
    shown = torch.zeros(200, 64, 64, dtype=torch.bool)
    shown[:, 12:52, 28:36] = True
    torch.manual_seed(5)
    share = (shown & not_hidden(shown)).sum(dim=(1, 2)) / 320
    assert 0.35 < (share == 1).float().mean() < 0.65
    monkeypatch.setattr(transplant_rim, "_TIP_ASKEW", 0.0)
    monkeypatch.setattr(transplant_rim, "_ONLY_A_TIP", 1.0)
    left = shown & not_hidden(shown)
    share = left.sum(dim=(1, 2)) / 320
    assert share.min() > 0.08
    assert share.max() < 0.7
    assert left[:, 12:14].any()
    assert not left[:, 45:].any()  # the upper end is what shows


def test_spots_are_empty_open_florets_or_lie_on_the_spike():
    torch.manual_seed(6)
    _, classes, _, florets, _ = batch(200)
    spots = drawn_spots(classes, florets, torch.arange(200))
    assert spots.there.all()
    assert 0.6 < spots.shaded.float().mean() < 0.9
    at = spots.place[spots.shaded]
    off = (at[:, None] - florets.centre[0, :2]).abs().amax(dim=2).amin(dim=1)
    assert off.max() <= 7.5 + 1e-3  # a quarter of 30 px from one that is empty
    row, column = spots.place[~spots.shaded].long().unbind(dim=1)
    assert (classes[~spots.shaded, row, column] == 1).all()
    nowhere = drawn_spots(torch.zeros_like(classes), Placed(
        florets.centre, florets.size, florets.columns, torch.zeros_like(florets.inside)
    ), torch.arange(200))  # fmt: skip
    assert not nowhere.there.any()


def test_the_larger_anther_counts_and_only_the_nearest_floret_holds_it():
    *_, florets, _ = batch(2)
    centre = torch.tensor([[70.0, 60.0], [NAN, NAN]])
    held = holding_more(florets, centre, torch.tensor([0.2, NAN]))
    assert held[:, :, FloretColumn.ANTHER_MM2].tolist() == [
        pytest.approx([0, 0.2, AREA_MM2]), pytest.approx([0, 0, AREA_MM2]),
    ]  # fmt: skip
    less = holding_more(florets, torch.tensor([[98.0, 60.0]] * 2), torch.tensor([0.2, 0.1]))
    assert torch.equal(less, florets.columns)
    wide = Placed(florets.centre, 3 * florets.size, florets.columns, florets.inside)
    held = holding_more(wide, torch.tensor([[50.0, 60.0]] * 2), torch.tensor([0.2, 0.3]))
    assert held[:, :, FloretColumn.ANTHER_MM2].tolist() == [
        pytest.approx([0, 0.2, AREA_MM2]), pytest.approx([0, 0.3, AREA_MM2]),
    ]  # fmt: skip
    outside = holding_more(florets, torch.tensor([[64.0, 100.0]] * 2), torch.tensor([0.2, 0.1]))
    assert torch.equal(outside, florets.columns)


@pytest.mark.parametrize(
    ("light", "shown"),
    # twice as much linear light, gamma 2.2, is 1.370 of encoded values
    [((0.45, 0.55), (0.45, 0.55)), ((0.2, 0.7), (0.7 / 1.370, 0.2 * 1.370))],
)
def test_brightness_follows_the_crop(monkeypatch, light, shown):
    monkeypatch.setattr(transplant_pieces, "_PLANT", 0.0)  # only anthers
    images, classes, anthers, florets, complete = batch(2)
    classes[1][classes[1] == 4] = 3
    anthers.columns[:, 0, AntherColumn.STAGE] = 0
    florets.columns[..., FloretColumn.CAVITY] = 0.1  # nothing is shaded
    images[:] = torch.tensor(light)[:, None, None, None]
    images[:, 2] = torch.where(classes == 3, 0.0, images[:, 2])
    seen = 0
    for seed in range(10):
        torch.manual_seed(seed)
        pictures, labels, _, _ = transplanted(
            images, classes, anthers, florets, complete, chance=1.0
        )
        for crop in range(2):
            new = labels[crop] != classes[crop]
            if new.any():
                deepest = pictures[crop, 2][new].argmin()
                assert float(pictures[crop, 2][new][deepest]) < 0.01  # of the anther alone
                red = float(pictures[crop, 0][new][deepest])
                assert red == pytest.approx(shown[crop], rel=2e-3)
                seen += 1
    assert seen > 10
