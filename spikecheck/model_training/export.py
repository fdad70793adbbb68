"""Writes a fitted network as ONNX with its manifest, and checks that it answers the same.

::

    python -m spikecheck.model_training.export RUN models/florets/1
"""

from __future__ import annotations

import argparse
import copy
import logging
import warnings
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import torch
from torch import nn
from torch.nn.utils.fusion import fuse_conv_bn_eval

from spikecheck.errors import TrainingError
from spikecheck.model_training.command import run
from spikecheck.model_training.fit_run import TASKS
from spikecheck.model_training.manifest import write_manifest
from spikecheck.model_training.run_files import FITTED, load_values, read_recipe
from spikecheck.networks import load_network
from spikecheck.networks.preprocess import OVERVIEW_SIDE_PX

if TYPE_CHECKING:
    from collections.abc import Sequence

_OPSET = 17
_MOST_OFF = 1e-3  # of the larger of 1 and the value
_SIZES = {"florets": ((96, 64), (160, 224)), "overview": ((OVERVIEW_SIDE_PX, OVERVIEW_SIDE_PX),)}
_LOG = logging.getLogger(__name__)


def export_run(fitted_run: Path, folder: Path) -> float:
    """Write the network of a finished run; return how far its answers are off at most.

    Parameters
    ----------
    fitted_run
        Folder of the run.
    folder
        ``<task>/<version>``, made when missing; a version is never overwritten.

    Raises
    ------
    TrainingError
        If the run is not finished, the version is there, or the answers differ.
    """
    recipe = read_recipe(fitted_run)
    if folder.parent.name != recipe["task"]:
        raise TrainingError(
            f"is no folder for {recipe['task']}", where=str(folder),
            cure=f"Name it {recipe['task']}/VERSION",
        )  # fmt: skip
    network_file = folder / "model.onnx"
    if network_file.exists():
        raise TrainingError("is there already", where=str(folder), cure="Name a new version")
    fitted = load_values(fitted_run / FITTED)
    network = TASKS[recipe["task"]]().network()
    network.load_state_dict(fitted["averaged"]["weights"])
    network = network.eval()
    folder.mkdir(parents=True, exist_ok=True)
    write_onnx(network, network_file, recipe["task"])
    write_manifest(network_file, outputs=network.output_names, recipe=recipe, fitted=fitted)
    off = largest_difference(network, folder)
    if not off <= _MOST_OFF:
        network_file.unlink()
        raise TrainingError(
            f"the exported network is off by {off:.2g}", where=str(folder), cure="Do not use it"
        )
    _LOG.info("%s: %.1f MB, off by %.1g at most", folder, network_file.stat().st_size / 1e6, off)
    return off


def write_onnx(network: nn.Module, path: Path, task: str) -> None:
    """Write a network in evaluation mode, its batch norms folded into the convolutions."""
    height, width = _SIZES[task][0]
    sizes = {} if task == "overview" else {2: "rows", 3: "columns"}
    with warnings.catch_warnings():
        # The exporter by tracing is marked as old; the new one needs a further package and gives
        # the same graph for networks without branches.
        warnings.simplefilter("ignore")
        torch.onnx.export(
            _folded(network), (torch.zeros(1, 3, height, width),), str(path),
            input_names=["images"], output_names=list(network.output_names),
            dynamic_axes={"images": {0: "photos", **sizes}}, opset_version=_OPSET, dynamo=False,
        )  # fmt: skip


def largest_difference(network: nn.Module, folder: Path) -> float:
    """Return how far the exported network's answers are off, on random pictures."""
    rng = np.random.default_rng(0)
    task = folder.parent.name
    exported = load_network(task, folder.name, folder=folder.parent.parent)
    off = 0.0
    for height, width in _SIZES[task]:
        images = rng.random((2, 3, height, width), dtype=np.float32)
        with torch.no_grad():
            expected = network(torch.from_numpy(images))
        given = exported.run(images)
        for name, values in zip(network.output_names, expected, strict=True):
            wanted = values.numpy()
            scale = np.maximum(1, np.abs(wanted))
            off = max(off, float((np.abs(given[name] - wanted) / scale).max()))
    return off


def _folded(network: nn.Module) -> nn.Module:
    folded = copy.deepcopy(network)
    for module in folded.modules():
        if isinstance(module, nn.Sequential):
            for number in range(len(module) - 1):
                if isinstance(module[number], nn.Conv2d) and isinstance(
                    module[number + 1], nn.BatchNorm2d
                ):
                    module[number] = fuse_conv_bn_eval(module[number], module[number + 1])
                    module[number + 1] = nn.Identity()
    return folded


def main(arguments: Sequence[str] | None = None) -> None:
    """Export one run."""
    parser = argparse.ArgumentParser(description="Writes a fitted network as ONNX.")
    parser.add_argument("run", type=Path)
    parser.add_argument("folder", type=Path, help="models/TASK/VERSION")
    options = parser.parse_args(arguments)
    export_run(options.run, options.folder)


if __name__ == "__main__":
    run(main)
