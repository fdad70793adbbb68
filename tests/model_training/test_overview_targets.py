"""What the overview network is taught of framed photos, and what that costs."""

from __future__ import annotations

import math

import numpy as np
import pytest

torch = pytest.importorskip("torch")

from spikecheck.model_training.frames_overview import (  # noqa: E402
    beside,
    ends_outside_px,
    random_frames,
    whole_frames,
)
from spikecheck.model_training.loss_overview import overview_loss  # noqa: E402
from spikecheck.model_training.marks import MARK_COLUMNS  # noqa: E402
from spikecheck.model_training.photo_set import PhotoSet  # noqa: E402
from spikecheck.model_training.sampling import sampled  # noqa: E402
from spikecheck.model_training.targets_overview import (  # noqa: E402
    overview_targets,
    photo_answers,
)
from spikecheck.networks import letterbox  # noqa: E402
from spikecheck.networks.outputs import OverviewGlobal, OverviewMap  # noqa: E402
from spikecheck.vocabulary import QualityProblem  # noqa: E402

ORDER = list(QualityProblem)
SIZE = (512, 512)


def problem_row(*problems):
    return [float(p in problems) for p in ORDER]


def photo(rows=640, columns=480, problems=(), axis=((500, 240), (140, 240)), px_per_mm=5.0):
    """A photo with a vertical bar as its spike, 40 px wide round the axis."""
    rng = np.random.default_rng(0)
    pixels = rng.integers(0, 255, (rows, columns, 3), dtype=np.uint8)
    classes = np.zeros((rows, columns), np.uint8)
    classes[140:500, 220:260] = 1
    ends = np.array(axis, np.float32)
    line = ends[0] + (ends[1] - ends[0]) * np.linspace(0, 1, 16)[:, None].astype(np.float32)
    packed = np.dstack([pixels, classes])
    none = torch.full((1, 1, MARK_COLUMNS), torch.nan)
    return pixels, PhotoSet(
        pixels=torch.from_numpy(packed.reshape(-1, 4).view(np.int32)[:, 0].copy()),
        first=torch.tensor([0]), rows=torch.tensor([rows]), columns=torch.tensor([columns]),
        px_per_mm=torch.tensor([px_per_mm]), axis=torch.from_numpy(line)[None], anthers=none,
        florets=none, complete=torch.tensor([True]), florets_marked=torch.tensor([True]),
        problems=torch.tensor([problem_row(*problems)]), photos=({"problems": list(problems)},),
        sha256="0" * 64,
    )  # fmt: skip


ZERO, SHARP = torch.tensor([0]), torch.tensor([False])


def told(photos, frames=None, lost=SHARP):
    frames = frames or whole_frames(photos, ZERO)
    _, classes = sampled(photos, ZERO, frames.matrix, SIZE)
    classes = torch.where(beside(frames.extent), 0, classes)
    return overview_targets(classes, photos, ZERO, frames, lost)


def test_a_whole_photo_lies_as_at_run_time():
    pixels, photos = photo(512, 400)  # as large as the square: no difference by resampling
    frames = whole_frames(photos, ZERO)
    images, _ = sampled(photos, ZERO, frames.matrix, SIZE)
    images = torch.where(beside(frames.extent)[:, None], 0.5, images)
    expected, _ = letterbox(pixels)
    assert images.numpy() == pytest.approx(expected, abs=1e-5)


def test_maps_tell_spike_scale_and_direction():
    _, photos = photo()
    targets = told(photos)
    assert float(targets.ln_scale.exp()) == pytest.approx(5 * 512 / 640)
    # rows 140 to 500 and columns 220 to 260, times 0.8, in cells of 4
    assert targets.spike[0, 28:100, 44:52].min() == 1
    assert targets.spike[0].sum() == pytest.approx(72 * 8, rel=0.02)
    assert targets.direction[0, :, 50, 48].tolist() == pytest.approx([-1, 0], abs=1e-5)
    assert targets.known.min() == 1


def test_frames_turn_scale_and_direction_with_the_picture():
    torch.manual_seed(0)
    _, photos = photo()
    zooms, kept = [], []
    for _ in range(24):
        frames = random_frames(photos, ZERO)
        targets = told(photos, frames)
        zooms.append(float(targets.ln_scale.exp() * frames.zoom))
        kept.append(float(ends_outside_px(photos, ZERO, frames)) <= 0)
        seen = torch.nonzero(targets.spike[0] > 0.5).float()
        pointed = targets.direction[0, :, int(seen[0, 0]), int(seen[0, 1])]
        along = torch.linalg.svd(seen - seen.mean(dim=0), full_matrices=False)[2][0]
        if len(seen) > 200:
            assert abs(float(pointed @ along)) > 0.97
        assert pointed.norm() == pytest.approx(1, abs=1e-5)
    assert zooms == pytest.approx([5.0] * 24)
    assert np.mean(kept) > 0.75


@pytest.mark.parametrize(
    ("problems", "answer", "expected"),
    [
        ((), OverviewGlobal.SPIKE_CLOSE, 1),
        ((QualityProblem.NO_SPIKE,), OverviewGlobal.SPIKE_CLOSE, 0),
        ((QualityProblem.NO_SPIKE,), OverviewGlobal.NOT_PREPARED, math.nan),
        ((QualityProblem.OCCLUDED,), OverviewGlobal.OCCLUDED, 1),
        ((QualityProblem.DARK,), OverviewGlobal.BADLY_EXPOSED, 1),
        ((QualityProblem.OVEREXPOSED,), OverviewGlobal.BADLY_EXPOSED, 1),
        ((QualityProblem.MOTION,), OverviewGlobal.DEFOCUS, 0),
    ],
)
def test_answers_are_those_of_the_truth(problems, answer, expected):
    row = photo_answers(torch.tensor([problem_row(*problems)]))[0]
    assert float(row[answer]) == pytest.approx(expected, nan_ok=True)


def test_nothing_is_answered_where_nobody_said():
    assert torch.isnan(photo_answers(torch.full((1, len(ORDER)), torch.nan))).all()


@pytest.mark.parametrize(
    ("tip_row", "expected"), [(100, 0), (3, math.nan), (-1, math.nan), (-20, 1)]
)
def test_an_end_outside_the_frame_is_cut_off_and_one_at_its_edge_unsure(tip_row, expected):
    _, photos = photo(axis=((500, 240), (tip_row, 240)))
    answer = told(photos).answers[0, OverviewGlobal.CUT_OFF]
    assert float(answer) == pytest.approx(expected, nan_ok=True)


def test_a_blurred_picture_is_not_taught_as_sharp():
    _, photos = photo()
    assert told(photos).answers[0, OverviewGlobal.DEFOCUS] == 0
    assert torch.isnan(told(photos, lost=~SHARP).answers[0, OverviewGlobal.DEFOCUS])


def test_saying_what_was_taught_costs_least_and_the_spread_is_learned():
    _, photos = photo()
    targets = told(photos)
    maps = torch.zeros(1, 6, 128, 128)
    maps[:, OverviewMap.SPIKE] = torch.logit(targets.spike.clamp(1e-4, 1 - 1e-4))
    maps[:, OverviewMap.OTHER_SPIKE] = -9
    maps[:, OverviewMap.LN_SCALE] = targets.ln_scale
    maps[:, 4:] = targets.direction
    answers = torch.where(targets.answers > 0, 9.0, -9.0)
    best = overview_loss(maps, answers, targets)
    assert best["direction"] < 1e-6
    assert best["answers"] < 1e-3
    for channel in (0, 1, 2, 4, 5):
        wrong = maps.clone()
        wrong[:, channel] = 0.7 - wrong[:, channel]
        assert sum(overview_loss(wrong, answers, targets).values()) > sum(best.values())
    # off by 0.2: the loss is least where the variance is 0.04
    maps[:, OverviewMap.LN_SCALE] += 0.2
    costs = {}
    for variance in (0.01, 0.04, 0.16):
        maps[:, OverviewMap.LN_SCALE_VARIANCE] = math.log(variance)
        costs[variance] = float(overview_loss(maps, answers, targets)["scale"])
    assert min(costs, key=costs.get) == 0.04
