"""Shares of cells and lower resolution, against PyTorch's own pooling and interpolation."""

from __future__ import annotations

import pytest

torch = pytest.importorskip("torch")

from torch.nn.functional import avg_pool2d, interpolate, one_hot  # noqa: E402

from spikecheck.model_training.cell_shares import UNKNOWN, cell_shares  # noqa: E402
from spikecheck.model_training.coarser import coarser  # noqa: E402
from spikecheck.model_training.on_device import constant  # noqa: E402


def test_shares_are_those_of_pooled_masks():
    torch.manual_seed(0)
    classes = torch.randint(0, 8, (3, 24, 32))
    classes[0, :4, :4] = 6  # a cell of one class
    classes[1, :4, :4] = UNKNOWN
    expected = avg_pool2d(one_hot(classes, 8).permute(0, 3, 1, 2).float(), 4)
    packed = torch.where(classes == UNKNOWN, 255, classes).to(torch.uint8)
    assert torch.equal(cell_shares(packed, 4), expected)


@pytest.mark.parametrize("size", [(64, 96), (61, 40)])
def test_coarser_is_down_with_antialiasing_and_up_again(size):
    torch.manual_seed(1)
    images, factors = (
        torch.rand(4, 3, *size),
        torch.tensor([0.5, 0.625, 0.75, 0.890625]),
    )  # sizes without ties
    given = coarser(images, factors)
    for image, factor, found in zip(images, factors.tolist(), given, strict=True):
        small = interpolate(image[None], scale_factor=factor, mode="bilinear", antialias=True)
        expected = interpolate(small, size=size, mode="bilinear")[0]
        assert torch.allclose(found, expected, atol=1e-5)


def test_a_constant_is_made_once():
    cpu = torch.device("cpu")
    assert constant((1.0, 2.5), cpu) is constant((1.0, 2.5), cpu)
    assert constant(((1.0, 2.0), (3.0, 4.0)), cpu).tolist() == [[1, 2], [3, 4]]
