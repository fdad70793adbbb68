"""Collects what making the networks came to, in pieces small enough to be carried off."""

from __future__ import annotations

import io
import shutil
import tarfile
from typing import TYPE_CHECKING

from spikecheck.model_training.looked_at_set import networks_of
from spikecheck.model_training.make_jobs import RESULTS
from spikecheck.model_training.make_recipe import CALIBRATION, REPORTING, TASKS

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

_LARGEST_TAR = 15_000_000  # bytes
_TAR_HEAD, _TAR_END = 1536, 10_240  # bytes: at most, of a file, and of the whole
_MODEL_FILES = ("model.onnx", "model.toml", "CARD.md", "reliability.png")


def collect(folder: Path, version: str, *, photos: int = 0) -> list[Path]:
    """Copy networks with their cards into ``results/models``; return all that is in ``results``.

    Parameters
    ----------
    folder
        Work folder.
    version
        Of the networks.
    photos
        How many photos of each of the calibration and reporting sets to pack, with their truth;
        what the networks saw in all of them goes along when any are packed.
    """
    results = folder / RESULTS
    for task in TASKS:
        source, target = folder / "models" / task / version, results / "models" / task / version
        for name in _MODEL_FILES:
            if (source / name).is_file():
                target.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(source / name, target / name)
    if photos:
        for old in results.glob("*.tar"):
            old.unlink()
        for name in (CALIBRATION, REPORTING):
            _pack_set(folder, name, photos, version)
    return sorted(path for path in results.rglob("*") if path.is_file())


def _pack_set(folder: Path, name: str, photos: int, version: str) -> None:
    place = folder / "photos" / name
    first = sorted(place.glob("*.jpg"))[:photos]
    files = [file for photo in first for file in (photo, photo.with_suffix(".json"))]
    pack_tars(files, folder, folder / RESULTS / f"photos_{name}")
    model = folder / "models" / "florets" / version
    if (model / "model.toml").is_file():
        seen = place / "looked_at" / networks_of(model).digest()[:16]
        pack_tars(sorted(seen.glob("*.json")), folder, folder / RESULTS / f"looked_at_{name}")


def pack_tars(files: Iterable[Path], root: Path, stem: Path) -> list[Path]:
    """Pack files, in their order, into ``STEM_1.tar`` and so on, each at most 15 MB.

    Parameters
    ----------
    files
        What to pack.
    root
        Folder that the names in the tars are relative to.
    stem
        Path of the tars without number and ending.
    """
    made: list[Path] = []
    tar: tarfile.TarFile | None = None
    room = 0
    try:
        for file in files:
            data = file.read_bytes()
            needed = len(data) + _TAR_HEAD
            if tar is None or needed > room:
                if tar is not None:
                    tar.close()
                made.append(stem.with_name(f"{stem.name}_{len(made) + 1}.tar"))
                made[-1].parent.mkdir(parents=True, exist_ok=True)
                tar, room = tarfile.open(made[-1], "w"), _LARGEST_TAR - _TAR_END  # noqa: SIM115
            entry = tarfile.TarInfo(file.relative_to(root).as_posix())
            entry.size = len(data)
            tar.addfile(entry, io.BytesIO(data))
            room -= needed
    finally:
        if tar is not None:
            tar.close()
    return made
