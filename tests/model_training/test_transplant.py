"""Anthers set into other crops: picture, class map and list agree, and all else stays."""

from __future__ import annotations

import pytest

torch = pytest.importorskip("torch")

from hypothesis import given, settings  # noqa: E402
from hypothesis import strategies as st  # noqa: E402

from spikecheck.model_training import transplant_pieces  # noqa: E402
from spikecheck.model_training.marks import AntherColumn, FloretColumn  # noqa: E402
from spikecheck.model_training.sampling import Placed  # noqa: E402
from spikecheck.model_training.transplant import transplanted  # noqa: E402
from tests.model_training.pasted_crops import SIDE, batch  # noqa: E402

SEEDS = st.integers(0, 2**31)


@pytest.fixture
def only_anthers(monkeypatch):
    monkeypatch.setattr(transplant_pieces, "_PLANT", 0.0)


def same(one, other):
    fields = ("centre", "size", "columns", "inside")
    return all(
        torch.equal(torch.nan_to_num(getattr(one, f)), torch.nan_to_num(getattr(other, f)))
        for f in fields
    )


def first_of(placed, count):
    parts = (placed.centre, placed.size, placed.columns, placed.inside)
    return Placed(*(part[:, :count] for part in parts))


def assert_nothing_happened(given_batch, result):
    images, classes, anthers, florets, _ = given_batch
    assert torch.equal(result[0], images)
    assert torch.equal(result[1], classes)
    assert same(first_of(result[2], 2), anthers)
    assert result[2].centre.shape == (len(images), 5, 2)
    assert not result[2].inside[:, 2:].any()
    assert torch.isnan(result[2].centre[:, 2:]).all()
    assert same(result[3], florets)


def test_without_a_chance_nothing_happens():
    crops = batch()
    assert_nothing_happened(crops, transplanted(*crops, chance=0.0))


def test_where_not_all_anthers_are_listed_none_is_added():
    crops = batch()
    known = torch.tensor([True, False, True, False])
    torch.manual_seed(0)
    pictures, labels, grown, florets = transplanted(*crops[:-1], known, chance=1.0)
    assert torch.equal(pictures[~known], crops[0][~known])
    assert torch.equal(labels[~known], crops[1][~known])
    assert not grown.inside[~known, 2:].any()
    assert torch.equal(florets.columns[~known], crops[3].columns[~known])
    assert not torch.equal(pictures[known], crops[0][known])


@pytest.mark.parametrize("count", [1, 2])
def test_crops_without_anthers_give_none(count):
    crops = batch(count, anthers=False)
    assert_nothing_happened(crops, transplanted(*crops, chance=1.0))


def test_a_single_crop_takes_none_of_its_own():
    crops = batch(1)
    assert_nothing_happened(crops, transplanted(*crops, chance=1.0))


@given(SEEDS)
@settings(deadline=None, max_examples=30)
def test_list_class_map_and_picture_agree(seed):
    crops = batch(seed=seed % 7)
    images, classes, anthers, florets, _ = crops
    kept = [images.clone(), classes.clone()]
    torch.manual_seed(seed)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(transplant_pieces, "_PLANT", 0.0)
        pictures, labels, grown, holding = transplanted(*crops, chance=1.0)
    assert torch.equal(images, kept[0])  # what was given stays as it was
    assert torch.equal(classes, kept[1])
    assert same(first_of(grown, 2), anthers)
    assert pictures.min() >= 0
    assert pictures.max() <= 1
    changed = labels != classes
    # the picture changes nowhere else, and neither hands nor anthers are pasted over
    assert not ((pictures != images).any(dim=1) & ~changed).any()
    assert (classes[changed] <= 1).all()
    assert ((labels[changed] >= 3) & (labels[changed] <= 5)).all()
    for crop in range(len(images)):
        total = 0.0
        for slot in grown.inside[crop, 2:].nonzero()[:, 0] + 2:
            centre, size = grown.centre[crop, slot], grown.size[crop, slot]
            about = grown.columns[crop, slot]
            assert ((centre >= 0) & (centre < SIDE)).all()
            box = [
                slice(max(0, int(c - s)), int(c + s) + 1) for c, s in zip(centre, size, strict=True)
            ]
            stage = labels[crop][box[0], box[1]] == 3 + int(about[AntherColumn.STAGE])
            assert (stage & changed[crop][box[0], box[1]]).sum() >= 400 * 0.06
            assert about[AntherColumn.AREA_MM2] >= 0.06
            assert (
                about[[AntherColumn.NEAR_ANTHESIS, AntherColumn.BROKEN]] == torch.tensor([1.0, 0.0])
            ).all()
            assert int(about[AntherColumn.STAGE]) != crop % 3 or crop in {0, 3}
            total += float(about[AntherColumn.AREA_MM2])
        assert total * 400 == pytest.approx(int(changed[crop].sum()), abs=0.01)
    rise = (holding.columns - florets.columns)[..., FloretColumn.ANTHER_MM2]
    assert (rise >= 0).all()
    assert torch.equal(holding.columns[..., :5], florets.columns[..., :5])


def test_a_box_is_that_of_the_pixels(only_anthers):
    torch.manual_seed(1)
    images, classes, anthers, florets, complete = batch(32)
    _, labels, grown, _ = transplanted(images, classes, anthers, florets, complete, chance=1.0)
    seen = 0
    for crop in range(32):
        if int(grown.inside[crop, 2:].sum()) != 1:
            continue
        places = (labels[crop] != classes[crop]).nonzero().float()
        slot = 2 + int(grown.inside[crop, 2:].byte().argmax())
        extent = places.amax(dim=0) - places.amin(dim=0) + 1
        assert grown.size[crop, slot].tolist() == extent.tolist()
        assert grown.centre[crop, slot].tolist() == pytest.approx(places.mean(0).tolist(), abs=1e-3)
        seen += 1
    assert seen > 5


def test_at_an_edge_an_anther_ends_and_does_not_go_on_at_the_other(only_anthers):
    torch.manual_seed(7)
    images, classes, anthers, florets, complete = batch(32)
    classes = torch.where(classes < 3, 1, classes)
    florets.centre[:] = torch.tensor([124.0, 4.0])
    _, labels, grown, _ = transplanted(images, classes, anthers, florets, complete, chance=1.0)
    row, column = torch.meshgrid(torch.arange(SIDE), torch.arange(SIDE), indexing="ij")
    corner = (row > 64) & (column < 64)
    # pieces go at most 20 px from their middle, florets' pieces 12 px from the floret
    beyond = (column > SIDE - 12) & (row > 64) | (row < 12) & (column < 64)
    single = grown.inside[:, 2:].sum(dim=1) == 1
    changed = (labels != classes)[single]
    there = (changed & corner & ((row > 115) | (column < 12))).flatten(1).any(dim=1)
    assert there.sum() > 5
    assert not (changed[there] & beyond).any()
    assert (grown.centre[:, 2:][grown.inside[:, 2:]] < SIDE).all()


def test_an_empty_floret_gets_the_anther_and_says_so(only_anthers):
    torch.manual_seed(2)
    crops = batch(64)
    _, _, grown, florets = transplanted(*crops, chance=1.0)
    area = grown.columns[:, 2:, AntherColumn.AREA_MM2]
    held = florets.columns[..., FloretColumn.ANTHER_MM2]
    assert (held[:, :2] > 0).any(dim=1).float().mean() > 0.5
    risen = held[:, :2][held[:, :2] > 0]
    assert torch.isin(risen, area[grown.inside[:, 2:]]).all()


def test_the_chance_is_that_of_a_crop(only_anthers):
    torch.manual_seed(3)
    crops = batch(64)
    grown = transplanted(*crops, chance=0.5)[2].inside[:, 2:]
    assert 0.25 < grown.any(dim=1).float().mean() < 0.7
    assert grown.sum(dim=1).max() > 1


def test_a_piece_of_the_plant_is_no_anther(monkeypatch):
    monkeypatch.setattr(transplant_pieces, "_PLANT", 1.0)
    torch.manual_seed(4)
    crops = batch(16)
    pictures, labels, grown, florets = transplanted(*crops, chance=1.0)
    assert not torch.equal(pictures, crops[0])
    assert not grown.inside[:, 2:].any()
    assert same(florets, crops[3])
    changed = labels != crops[1]
    assert (labels[changed] == 1).all()
