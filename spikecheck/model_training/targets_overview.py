"""What the overview network should say of a batch of framed photos."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import torch

from spikecheck.model_training.cell_shares import UNKNOWN, cell_shares
from spikecheck.model_training.class_map import PixelClass
from spikecheck.model_training.frames_overview import ends_outside_px
from spikecheck.model_training.sampling import in_crops
from spikecheck.networks.outputs import OVERVIEW_GLOBALS, OverviewGlobal
from spikecheck.networks.preprocess import CELL_PX
from spikecheck.vocabulary import QualityProblem

if TYPE_CHECKING:
    from torch import Tensor

    from spikecheck.model_training.frames_overview import Frames
    from spikecheck.model_training.photo_set import PhotoSet

_ANSWERS = {
    OverviewGlobal.SEVERAL_SPIKES: {QualityProblem.SEVERAL_SPIKES},
    OverviewGlobal.CUT_OFF: {QualityProblem.CUT_OFF},
    OverviewGlobal.OCCLUDED: {QualityProblem.OCCLUDED},
    OverviewGlobal.NOT_PREPARED: {QualityProblem.NOT_PREPARED},
    OverviewGlobal.DEFOCUS: {QualityProblem.DEFOCUS},
    OverviewGlobal.MOTION: {QualityProblem.MOTION},
    OverviewGlobal.BADLY_EXPOSED: {QualityProblem.DARK, QualityProblem.OVEREXPOSED},
}
_IN_FRAME_MM, _CUT_MM = 1.0, 0.5  # an end this far inside is in, this far outside is cut off
_LEAST_OTHER = 0.005  # share of the square that another spike must still take to count


@dataclass(frozen=True, slots=True, eq=False)
class OverviewTargets:
    """Targets of a batch; H and W are those of the maps.

    Parameters
    ----------
    spike, other
        float32 of shape (B, H, W): share of each cell.
    known
        float32 of shape (B, H, W): 0 where nobody labelled.
    ln_scale
        float32 of shape (B,): ln of px/mm of the square; NaN when not known.
    direction
        float32 of shape (B, 2, H, W): unit vector from base to tip; NaN when not known.
    answers
        float32 of shape (B, 8): truth of each :class:`OverviewGlobal`; NaN when not known.
    """

    spike: Tensor
    other: Tensor
    known: Tensor
    ln_scale: Tensor
    direction: Tensor
    answers: Tensor


def photo_answers(problems: Tensor) -> Tensor:
    """Return what is true of whole photos, float32 of shape (B, 8); NaN when not known.

    Parameters
    ----------
    problems
        float32 of shape (B, 10), as in :class:`~spikecheck.model_training.photo_set.PhotoSet`.
    """
    order = list(QualityProblem)
    answers = torch.full((len(problems), OVERVIEW_GLOBALS), torch.nan, device=problems.device)
    no_spike = problems[:, order.index(QualityProblem.NO_SPIKE)]
    answers[:, OverviewGlobal.SPIKE_CLOSE] = 1 - no_spike
    for answer, told_by in _ANSWERS.items():
        columns = [problems[:, order.index(problem)] for problem in told_by]
        said = torch.stack(columns, dim=1).amax(dim=1)
        # without a spike nothing can be wrong with it
        answers[:, answer] = torch.where(no_spike == 1, torch.nan, said)
    return answers


def overview_targets(
    classes: Tensor, photos: PhotoSet, index: Tensor, frames: Frames, lost_detail: Tensor
) -> OverviewTargets:
    """Return the targets of a batch.

    Parameters
    ----------
    classes
        uint8 of shape (B, 512, 512): class maps, background beside the photo.
    photos, index, frames
        What the frames show.
    lost_detail
        bool of shape (B,): pictures blurred since, of which nobody knows whether they still count
        as sharp.
    """
    share = cell_shares(classes, CELL_PX)
    spike = (
        share[:, PixelClass.SPIKE]
        + share[:, PixelClass.GREEN_ANTHER : PixelClass.OTHER_SPIKE].sum(dim=1)
    )  # fmt: skip
    other, unknown = share[:, PixelClass.OTHER_SPIKE], share[:, UNKNOWN]
    scale = photos.px_per_mm[index] / frames.zoom
    answers = photo_answers(photos.problems[index])
    beyond_mm = torch.nan_to_num(ends_outside_px(photos, index, frames) / scale, nan=-torch.inf)
    cut = answers[:, OverviewGlobal.CUT_OFF]
    cut = torch.where(beyond_mm > -_IN_FRAME_MM, torch.nan, cut)
    cut = torch.where(beyond_mm > _CUT_MM, 1.0, cut)
    was_cut = answers[:, OverviewGlobal.CUT_OFF] == 1
    answers[:, OverviewGlobal.CUT_OFF] = torch.where(was_cut, 1.0, cut)
    several = answers[:, OverviewGlobal.SEVERAL_SPIKES]
    gone = (several == 1) & (other.mean(dim=(1, 2)) < _LEAST_OTHER)
    answers[:, OverviewGlobal.SEVERAL_SPIKES] = torch.where(gone, torch.nan, several)
    for sharp in (OverviewGlobal.DEFOCUS, OverviewGlobal.MOTION):
        unsure = lost_detail & (answers[:, sharp] == 0)
        answers[:, sharp] = torch.where(unsure, torch.nan, answers[:, sharp])
    return OverviewTargets(
        spike=spike, other=other, known=(unknown == 0).float(), ln_scale=scale.log(),
        direction=_direction(photos.axis[index], frames.matrix, spike.shape[1:]), answers=answers,
    )  # fmt: skip


def _direction(axis: Tensor, matrix: Tensor, shape: tuple[int, int]) -> Tensor:
    """Return the direction of the axis where it is nearest to each cell."""
    line = in_crops(axis, matrix)
    step = line[:, 1:] - line[:, :-1]
    step = step / step.norm(dim=2, keepdim=True).clamp(min=1e-6)
    middle = (line[:, 1:] + line[:, :-1]) / 2
    rows = torch.arange(shape[0], device=axis.device) * CELL_PX + (CELL_PX - 1) / 2
    columns = torch.arange(shape[1], device=axis.device) * CELL_PX + (CELL_PX - 1) / 2
    down = (rows - middle[:, :, :1]) ** 2
    across = (columns - middle[:, :, 1:]) ** 2
    nearest = (down[:, :, :, None] + across[:, :, None, :]).argmin(dim=1)
    flat = nearest.flatten(1)[:, :, None].expand(-1, -1, 2)
    return step.gather(1, flat).transpose(1, 2).reshape(len(axis), 2, *shape)
