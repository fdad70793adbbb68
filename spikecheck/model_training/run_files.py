"""Files of a training run: recipe, log, checkpoint, and what came out."""

from __future__ import annotations

import json
import os
from typing import TYPE_CHECKING, Any

import torch

from spikecheck.errors import TrainingError

if TYPE_CHECKING:
    from pathlib import Path

CHECKPOINT, FITTED, RECIPE, LOG = "checkpoint.pt", "fitted.pt", "recipe.json", "log.jsonl"


def save_whole(values: dict[str, Any], path: Path) -> None:
    """Write a torch file that appears only whole."""
    new = path.with_name(f".{path.name}.new")
    with new.open("wb") as file:
        torch.save(values, file)
        file.flush()
        os.fsync(file.fileno())
    new.replace(path)


def load_values(path: Path, device: torch.device | str = "cpu") -> dict[str, Any]:
    """Read a torch file of tensors and plain values.

    Raises
    ------
    TrainingError
        If it cannot be read.
    """
    try:
        values: dict[str, Any] = torch.load(path, map_location=device, weights_only=True)
    except (OSError, RuntimeError, ValueError, EOFError) as error:
        raise TrainingError(
            f"cannot be read ({error})", where=str(path), cure="Fit the network anew"
        ) from error
    return values


def start_weights(place: Path, device: torch.device | str = "cpu") -> dict[str, Any]:
    """Return the averaged weights of a run's folder or of one of its files."""
    if place.is_dir():
        place = place / (FITTED if (place / FITTED).is_file() else CHECKPOINT)
    values = load_values(place, device)
    weights: dict[str, Any] = values["averaged"]["weights"]
    return weights


def write_recipe(folder: Path, recipe: dict[str, Any]) -> None:
    """Write what a run was made from; a run that goes on must have the same recipe.

    Raises
    ------
    TrainingError
        If the folder holds a run of another recipe.
    """
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / RECIPE
    if path.is_file() and read_recipe(folder) != recipe:
        raise TrainingError(
            "holds a run of another recipe", where=str(folder), cure="Name another folder"
        )
    path.write_text(json.dumps(recipe, indent=1) + "\n", encoding="utf-8")


def read_recipe(folder: Path) -> dict[str, Any]:
    """Read what a run was made from.

    Raises
    ------
    TrainingError
        If it is not there.
    """
    try:
        recipe: dict[str, Any] = json.loads((folder / RECIPE).read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise TrainingError(
            f"holds no run ({error})", where=str(folder), cure="Name the folder of a run"
        ) from error
    return recipe


def log_line(folder: Path, entry: dict[str, Any]) -> None:
    """Add one line to the run's log."""
    with (folder / LOG).open("a", encoding="utf-8") as file:
        file.write(json.dumps(entry) + "\n")
