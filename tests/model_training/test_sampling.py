"""Crops out of packed views: pixels and marks move together, however a crop lies."""

from __future__ import annotations

import math

import numpy as np
import pytest

torch = pytest.importorskip("torch")

from hypothesis import given, settings  # noqa: E402
from hypothesis import strategies as st  # noqa: E402

from spikecheck.model_training.crops_florets import floret_crops, whole_strip  # noqa: E402
from spikecheck.model_training.marks import MARK_COLUMNS  # noqa: E402
from spikecheck.model_training.photo_set import PhotoSet  # noqa: E402
from spikecheck.model_training.sampling import placed, sampled, similarity  # noqa: E402


def one_view(pixels, classes, px_per_mm=20.0):
    packed = np.dstack([pixels, classes]).astype(np.uint8)
    rows, columns = classes.shape
    return PhotoSet(
        pixels=torch.from_numpy(packed.reshape(-1, 4).view(np.int32)[:, 0].copy()),
        first=torch.tensor([0]), rows=torch.tensor([rows]), columns=torch.tensor([columns]),
        px_per_mm=torch.tensor([px_per_mm]), axis=torch.full((1, 16, 2), torch.nan),
        anthers=torch.full((1, 1, MARK_COLUMNS), torch.nan),
        florets=torch.full((1, 1, MARK_COLUMNS), torch.nan), complete=torch.tensor([True]),
        florets_marked=torch.tensor([True]), problems=torch.zeros(1, 10),
        photos=({"problems": []},), sha256="0" * 64,
    )  # fmt: skip


ZERO = torch.tensor([0])
NO, YES = torch.tensor([False]), torch.tensor([True])


def test_an_upright_crop_at_its_own_scale_is_a_copy():
    rng = np.random.default_rng(1)
    pixels = rng.integers(0, 256, (40, 50, 3), dtype=np.uint8)
    classes = rng.integers(0, 7, (40, 50), dtype=np.uint8)
    photos = one_view(pixels, classes)
    matrix = similarity(torch.tensor([[15.5, 25.5]]), torch.ones(1), torch.zeros(1), NO, (16, 24))
    images, found = sampled(photos, ZERO, matrix, (16, 24))
    assert np.array_equal(found[0].numpy(), classes[8:24, 14:38])
    part = pixels[8:24, 14:38].transpose(2, 0, 1) / 255
    assert images[0].numpy() == pytest.approx(part, abs=1e-6)
    mirrored = similarity(
        torch.tensor([[15.5, 25.5]]), torch.ones(1), torch.zeros(1), YES, (16, 24)
    )
    flipped, _ = sampled(photos, ZERO, mirrored, (16, 24))
    assert flipped[0].numpy() == pytest.approx(part[:, :, ::-1], abs=1e-6)


def test_outside_the_view_its_edge_goes_on():
    pixels = np.arange(12, dtype=np.uint8).reshape(3, 4, 1).repeat(3, axis=2)
    photos = one_view(pixels, np.full((3, 4), 2, np.uint8))
    matrix = similarity(torch.tensor([[1.0, 1.5]]), torch.ones(1), torch.zeros(1), NO, (9, 10))
    images, classes = sampled(photos, ZERO, matrix, (9, 10))
    padded = np.pad(pixels[..., 0], 3, mode="edge") / 255
    assert images[0, 0].numpy() == pytest.approx(padded, abs=1e-6)
    assert (classes == 2).all()


@given(
    st.floats(-math.pi, math.pi), st.floats(0.7, 1.3), st.booleans(),
    st.floats(30, 70), st.floats(30, 70),
)  # fmt: skip
@settings(deadline=None, max_examples=40)
def test_a_mark_stays_on_the_dot_it_marks(angle, zoom, mirrored, row, column):
    pixels = np.zeros((100, 100, 3), np.uint8)
    grid = np.mgrid[:100, :100]
    dot = np.exp(-((grid[0] - row) ** 2 + (grid[1] - column) ** 2) / (2 * 4**2))
    pixels[..., 1] = np.round(255 * dot)
    photos = one_view(pixels, np.zeros((100, 100), np.uint8))
    size = (180, 180)
    matrix = similarity(
        torch.tensor([[50.0, 50.0]]), torch.tensor([zoom]), torch.tensor([angle]),
        torch.tensor([mirrored]), size,
    )  # fmt: skip
    images, _ = sampled(photos, ZERO, matrix, size)
    marks = torch.full((1, 1, MARK_COLUMNS), torch.nan)
    marks[0, 0, :2] = torch.tensor([row, column])
    where = placed(marks, matrix, size)
    weight = images[0, 1].numpy() ** 2
    found = [(weight * g).sum() / weight.sum() for g in np.mgrid[:180, :180]]
    assert where.centre[0, 0].tolist() == pytest.approx(found, abs=0.6)
    assert bool(where.inside[0, 0])


def test_a_box_follows_the_outline_and_what_is_not_known_stays_so():
    marks = torch.full((1, 2, MARK_COLUMNS), torch.nan)
    marks[0, :, :2] = torch.tensor([[50.0, 50.0], [200.0, 50.0]])
    angles = torch.arange(16) * (2 * math.pi / 16)
    outline = torch.stack([50 + 5 * angles.sin(), 50 + 20 * angles.cos()], dim=1)
    marks[0, 0, 6:] = outline.flatten()
    quarter = similarity(
        torch.tensor([[50.0, 50.0]]), torch.tensor([0.5]), torch.tensor([math.pi / 2]), NO,
        (128, 128),
    )  # fmt: skip
    where = placed(marks, quarter, (128, 128))
    assert where.size[0, 0].tolist() == pytest.approx([80, 20], abs=1e-3)  # turned, twice as large
    assert torch.isnan(where.size[0, 1]).all()
    assert where.inside[0].tolist() == [True, False]


def test_crops_lie_within_the_error_of_the_run_time_s_scale_and_axis():
    torch.manual_seed(0)
    blank = np.zeros((600, 500, 3), np.uint8)
    photos = one_view(blank, blank[..., 0], px_per_mm=16.0)
    matrix = floret_crops(photos, ZERO.repeat(400), (128, 128))
    zoom = matrix[:, :, 0].norm(dim=1)
    apparent = 16.0 / zoom  # px/mm of the crop
    assert apparent.min() >= 20 * 0.88 - 1e-3
    assert apparent.max() <= 20 * 1.12 + 1e-3
    assert apparent.max() - apparent.min() > 4
    tilt = torch.atan2(matrix[:, 1, 0], matrix[:, 0, 0]).rad2deg().abs()
    upside_down = tilt > 90
    assert torch.minimum(tilt, 180 - tilt).max() <= 12.01
    assert 0.01 < upside_down.float().mean() < 0.12
    mirrored = torch.linalg.det(matrix[:, :, :2]) < 0
    assert 0.4 < mirrored.float().mean() < 0.6


def test_a_whole_strip_is_shown_at_the_working_scale_in_whole_steps():
    blank = np.zeros((150, 100, 3), np.uint8)
    photos = one_view(blank, blank[..., 0], px_per_mm=10.0)
    matrix, size = whole_strip(photos, 0, 32)
    assert size == (320, 224)  # 300 x 200 px at 20 px/mm, up to the next multiples of 32
    assert matrix[0, 0, 0] == pytest.approx(0.5)
    assert matrix[0, 0, 1] == pytest.approx(0)
