"""Packed photo sets in the memory of the device that fits.

All views lie in one long tensor, so that views of different sizes waste nothing and a whole batch
of crops is sampled in one step.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import torch

from spikecheck.errors import TrainingError
from spikecheck.model_training.marks import MARK_COLUMNS
from spikecheck.vocabulary import QualityProblem

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from numpy.typing import NDArray
    from torch import Tensor

# Faults that wash anthers out: their truth tells of what nobody can see in the picture.
_WASHED_OUT = frozenset({
    QualityProblem.DEFOCUS, QualityProblem.MOTION, QualityProblem.DARK, QualityProblem.OVEREXPOSED,
    QualityProblem.TOO_SMALL,
})  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class PhotoSet:
    """Views of one task, their truth, and what is known of each photo.

    Parameters
    ----------
    pixels
        int32 of shape (P,): red, green, blue and class of a pixel in its four bytes.
    first, rows, columns
        int64 of shape (N,): where each view begins, and its size, px.
    px_per_mm
        float32 of shape (N,): scale of the view; NaN when not known.
    axis
        float32 of shape (N, 16, 2): (row, column) from base to tip, px; NaN when not known.
    anthers, florets
        float32 of shape (N, K, MARK_COLUMNS), see :mod:`spikecheck.model_training.marks`; rows of
        NaN where there are no more.
    complete, florets_marked
        bool of shape (N,): whether all anthers, and florets, are listed.
    problems
        float32 of shape (N, 10): 1 or 0 in the order of :class:`QualityProblem`; NaN when not
        known.
    photos
        What is known of each photo, N entries.
    sha256
        Hex digest over all photos and their truth.
    """

    pixels: Tensor
    first: Tensor
    rows: Tensor
    columns: Tensor
    px_per_mm: Tensor
    axis: Tensor
    anthers: Tensor
    florets: Tensor
    complete: Tensor
    florets_marked: Tensor
    problems: Tensor
    photos: tuple[Mapping[str, Any], ...]
    sha256: str

    def __len__(self) -> int:
        """Return the number of views."""
        return len(self.photos)


def load_sets(
    packs: Sequence[Path],
    task: str,
    *,
    device: torch.device,
    leave_out: Sequence[tuple[str, str]] = (),
) -> PhotoSet:
    """Load packed sets onto a device.

    Parameters
    ----------
    packs
        Folders written by :mod:`spikecheck.model_training.pack`.
    task
        ``"overview"`` or ``"florets"``; for florets, photos whose fault hides anthers are left out.
    device
        A torch device.
    leave_out
        (kind, family) pairs: photos of such a family are left out.

    Raises
    ------
    TrainingError
        If a pack cannot be read or no photo is left.
    """
    parts = [_Pack(pack, task) for pack in packs]
    chosen = []
    for number, one in enumerate(parts):
        chosen += [(number, view) for view in one.views(task, leave_out)]
    if not chosen:
        raise TrainingError("no photo is left to fit on", cure="Name another set or leave out less")
    sizes = np.array([parts[p].size[v] for p, v in chosen])
    lengths = sizes.prod(axis=1)
    first = np.concatenate([[0], np.cumsum(lengths)[:-1]])
    pixels = torch.empty(int(lengths.sum()), dtype=torch.int32, device=device)
    for (part, view), begin, length in zip(chosen, first, lengths, strict=True):
        pixels[begin : begin + length] = torch.from_numpy(parts[part].pixels_of(view)).to(device)
    photos = tuple(parts[p].photo(v) for p, v in chosen)
    digest = hashlib.sha256("\n".join(sorted(p["sha256"] for p in photos)).encode())

    def gathered(name: str) -> Tensor:
        return torch.from_numpy(np.stack([parts[p].arrays[name][v] for p, v in chosen])).to(device)

    def known(name: str) -> Tensor:
        return torch.tensor([bool(photo[name]) for photo in photos], device=device)

    return PhotoSet(
        pixels=pixels, first=torch.from_numpy(first).to(device),
        rows=torch.from_numpy(sizes[:, 0].copy()).to(device),
        columns=torch.from_numpy(sizes[:, 1].copy()).to(device),
        px_per_mm=gathered("px_per_mm"), axis=gathered("axis"),
        anthers=_padded([parts[p].marks("anthers", v) for p, v in chosen]).to(device),
        florets=_padded([parts[p].marks("florets", v) for p, v in chosen]).to(device),
        complete=known("complete"), florets_marked=known("florets_marked"),
        problems=torch.tensor([_problem_row(photo["problems"]) for photo in photos]).to(device),
        photos=photos, sha256=digest.hexdigest(),
    )  # fmt: skip


class _Pack:
    """One packed set, read lazily."""

    def __init__(self, pack: Path, task: str) -> None:
        try:
            self.photos = json.loads((pack / "photos.json").read_text(encoding="utf-8"))
            with np.load(pack / "tables.npz") as tables:
                self.arrays = {
                    name.removeprefix(f"{task}_"): tables[name]
                    for name in tables.files
                    if name.startswith(f"{task}_")
                }
            self.flat = np.load(pack / f"{task}.npy", mmap_mode="r")
        except (OSError, ValueError) as error:
            raise TrainingError(
                f"is no packed set ({error})", where=str(pack), cure="Pack the photo set anew"
            ) from error
        self.size = self.arrays["size"]
        self._ends = {n: np.cumsum(self.arrays[f"{n}_count"]) for n in ("anthers", "florets")}

    def views(self, task: str, leave_out: Sequence[tuple[str, str]]) -> list[int]:
        """Return the numbers of the views to fit on."""
        return [
            view for view in range(len(self.size))
            if not any(self.photo(view)["families"].get(kind) == f for kind, f in leave_out)
            and not (task == "florets" and _WASHED_OUT & set(self.photo(view)["problems"] or ()))
        ]  # fmt: skip

    def photo(self, view: int) -> Mapping[str, Any]:
        """Return what is known of a view's photo."""
        entry: Mapping[str, Any] = self.photos[int(self.arrays["photo"][view])]
        return entry

    def pixels_of(self, view: int) -> NDArray[np.int32]:
        """Return the pixels of a view, int32 of shape (P,)."""
        begin = int(self.arrays["first"][view])
        part = self.flat[begin : begin + int(self.size[view].prod())]
        return np.array(part).view(np.int32)[:, 0]

    def marks(self, name: str, view: int) -> NDArray[np.float32]:
        """Return the marks of a view, float32 of shape (K, MARK_COLUMNS)."""
        end = int(self._ends[name][view])
        rows: NDArray[np.float32] = self.arrays[name][
            end - int(self.arrays[f"{name}_count"][view]) : end
        ]
        return rows.reshape(-1, MARK_COLUMNS)


def _problem_row(problems: Sequence[str] | None) -> list[float]:
    return [float("nan") if problems is None else float(p in problems) for p in QualityProblem]


def _padded(marks: Sequence[NDArray[np.float32]]) -> Tensor:
    most = max(1, *(len(rows) for rows in marks)) if marks else 1
    padded = np.full((len(marks), most, MARK_COLUMNS), np.nan, np.float32)
    for target, rows in zip(padded, marks, strict=True):
        target[: len(rows)] = rows
    return torch.from_numpy(padded)
