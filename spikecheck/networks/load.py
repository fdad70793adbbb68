"""Finds a network under ``models/``, checks its digest and runs it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.bundled import bundled_folder
from spikecheck.errors import ModelError
from spikecheck.language import _
from spikecheck.networks.manifest import CURE, Manifest, read_manifest
from spikecheck.networks.session import session_of

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

OVERVIEW = "overview"
FLORETS = "florets"
_THREADS = 2  # two cores are what the time goals are set for


@dataclass(frozen=True, slots=True)
class Network:
    """A network whose file is the one its manifest tells of; cheap until it runs.

    Parameters
    ----------
    path
        The ``model.onnx``.
    manifest
        Its manifest.
    threads
        Threads that share the work on one image.
    """

    path: Path
    manifest: Manifest
    threads: int = _THREADS

    def run(self, images: NDArray[np.float32]) -> dict[str, NDArray[np.float32]]:
        """Run the network.

        Parameters
        ----------
        images
            float32 of shape (N, 3, rows, columns), RGB, 0..1.

        Returns
        -------
        dict
            float32 arrays by the names of the manifest's ``outputs``.

        Raises
        ------
        ModelError
            If the network cannot run, refuses the image or gives what is no number.
        """
        from onnxruntime.capi import onnxruntime_pybind11_state as faults

        session = session_of(self.path, self.manifest, threads=self.threads)
        names = list(self.manifest.outputs)
        try:
            values = session.run(names, {session.get_inputs()[0].name: images})
        except (faults.Fail, faults.InvalidArgument, faults.RuntimeException) as error:
            raise self._fault(f"failed on an image of shape {images.shape} ({error})") from error
        given = dict(zip(names, values, strict=True))
        for name, value in given.items():
            if not np.isfinite(value).all():
                raise self._fault(f"gives {name} that are no numbers")
        return given

    def _fault(self, what: str) -> ModelError:
        return ModelError(what, where=str(self.path), cure=_(CURE))


def network_versions(task: str, *, folder: Path | None = None) -> tuple[str, ...]:
    """Return the versions of a task that are there, oldest first; none when there is no network.

    Parameters
    ----------
    task
        ``"overview"`` or ``"florets"``.
    folder
        Where the networks lie, when not where they come with the package.
    """
    place = (folder or bundled_folder("models")) / task
    if not place.is_dir():
        return ()
    names = [each.name for each in place.iterdir() if (each / "model.toml").is_file()]
    return tuple(sorted((name for name in names if _number(name) is not None), key=_order))


def load_network(
    task: str, version: str | None = None, *, folder: Path | None = None, threads: int = _THREADS
) -> Network:
    """Load a network: read its manifest and compare its file's digest.

    Parameters
    ----------
    task
        ``"overview"`` or ``"florets"``.
    version
        Which version; the newest when None.
    folder
        Where the networks lie, when not where they come with the package.
    threads
        Threads that share the work on one image, at least 1.

    Raises
    ------
    ModelError
        If it is not there, is not what its manifest says, or the manifest is at fault.
    """
    place = folder or bundled_folder("models")
    if version is None:
        versions = network_versions(task, folder=place)
        if not versions:
            raise ModelError(
                _("no network for {task}").format(task=task), where=str(place), cure=_(CURE)
            )
        version = versions[-1]
    return _checked(place / task / version, task, version, threads)


@cache
def _checked(place: Path, task: str, version: str, threads: int) -> Network:
    manifest = read_manifest(place / "model.toml")
    if (manifest.task, manifest.version) != (task, version):
        raise ModelError(
            _("tells of {task} {version}, not of {other_task} {other_version}").format(
                task=manifest.task, version=manifest.version, other_task=task, other_version=version
            ),
            where=str(manifest.path),
            cure=_(CURE),
        )
    path = place / "model.onnx"
    try:
        with path.open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise ModelError(
            _("cannot be read ({reason})").format(reason=error.strerror),
            where=str(path),
            cure=_(CURE),
        ) from error
    if digest != manifest.sha256:
        raise ModelError(_("is not the file its manifest tells of"), where=str(path), cure=_(CURE))
    return Network(path, manifest, threads)


def _number(version: str) -> tuple[int, ...] | None:
    parts = version.split(".")
    return tuple(map(int, parts)) if all(part.isdecimal() for part in parts) else None


def _order(version: str) -> tuple[int, ...]:
    return _number(version) or ()
