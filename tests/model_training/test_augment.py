"""Variation of light, colour and camera; the JPEG-like rounding against OpenCV's JPEG."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

torch = pytest.importorskip("torch")

from spikecheck.model_training.augment import (  # noqa: E402
    FLORETS_STRENGTH,
    OVERVIEW_STRENGTH,
    Strength,
    patched,
    photographed,
)
from spikecheck.model_training.jpeg_like import jpeg_like  # noqa: E402

NOTHING = Strength(0, 0.3, 0, 0, 0, 0, 0)


def picture(rows=64, columns=96):
    """Smooth colours with an edge, 0..1."""
    grid = np.mgrid[:rows, :columns].astype(np.float32)
    channels = [np.sin(grid[0] / 9), np.cos(grid[1] / 7), np.sin((grid[0] + grid[1]) / 11)]
    values = 0.5 + 0.4 * np.stack(channels)
    values[:, 20:40, 30:60] *= 0.4
    return values.astype(np.float32)


@pytest.mark.parametrize("quality", [30, 60, 90])
def test_rounding_is_that_of_a_jpeg(quality):
    pixels = np.round(picture() * 255).astype(np.uint8).transpose(1, 2, 0)
    options = [
        cv2.IMWRITE_JPEG_QUALITY, quality,
        cv2.IMWRITE_JPEG_SAMPLING_FACTOR, cv2.IMWRITE_JPEG_SAMPLING_FACTOR_444,
    ]  # fmt: skip
    _, data = cv2.imencode(".jpg", pixels[..., ::-1], options)
    expected = cv2.imdecode(data, cv2.IMREAD_COLOR)[..., ::-1].astype(np.float32)
    images = torch.from_numpy(pixels.transpose(2, 0, 1)[None] / np.float32(255))
    given = jpeg_like(images, torch.tensor([float(quality)]))[0].numpy().transpose(1, 2, 0) * 255
    lost = np.abs(expected - pixels).mean()
    assert lost > 0.5
    # OpenCV's transform has limited precision and rounds to 8 bits once more
    assert np.abs(given - expected).mean() < max(0.5, 0.25 * lost)


def test_pictures_stay_pictures_and_differ():
    torch.manual_seed(0)
    images = torch.from_numpy(picture())[None].repeat(8, 1, 1, 1)
    for strength in (FLORETS_STRENGTH, OVERVIEW_STRENGTH):
        varied, lost = photographed(images, strength)
        assert varied.shape == images.shape
        assert torch.isfinite(varied).all()
        assert varied.min() >= 0
        assert varied.max() <= 1
        assert lost.dtype == torch.bool
        assert (varied[0] - varied[1]).abs().mean() > 0.01
        assert (varied - images).abs().mean() < 0.25


def test_grey_stays_nearly_grey_and_no_strength_is_colour_only():
    torch.manual_seed(1)
    images = torch.full((16, 3, 32, 32), 0.5)
    varied, lost = photographed(images, NOTHING)
    assert not lost.any()
    assert varied.flatten(2).std(dim=2).max() < 1e-6  # flat stays flat
    spread = varied.mean(dim=(2, 3)).amax(dim=1) - varied.mean(dim=(2, 3)).amin(dim=1)
    assert 0 < spread.max() < 0.3


def test_a_turn_of_hue_keeps_green_green():
    torch.manual_seed(2)
    images = torch.tensor([0.35, 0.6, 0.25]).view(1, 3, 1, 1).repeat(64, 1, 32, 32)
    varied, _ = photographed(images, NOTHING)
    assert (varied.mean(dim=(2, 3)).argmax(dim=1) == 1).float().mean() > 0.95


def test_blur_is_told_and_takes_detail():
    torch.manual_seed(3)
    board = (torch.arange(32)[:, None] + torch.arange(32)[None]) % 2
    images = (0.3 + 0.4 * board).float().expand(4, 3, -1, -1).contiguous()
    varied, lost = photographed(images, Strength(0, 1.5, 1.0, 0, 0, 0, 0))
    assert lost.all()
    assert varied.flatten(1).std(dim=1).max() < 0.8 * images.flatten(1).std(dim=1).max()


def test_under_a_patch_nothing_is_known():
    torch.manual_seed(4)
    images, classes = torch.zeros(40, 3, 64, 64), torch.ones(40, 64, 64, dtype=torch.uint8)
    over, labelled = patched(images, classes)
    changed = (over != 0).any(dim=1)
    assert torch.equal(changed, labelled == 255)
    assert 0.05 < changed.flatten(1).any(dim=1).float().mean() < 0.5
