"""Folders that are still there after a power cut: made, and their parent synced to disk."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path


def make_folder(folder: Path, *, make_parents: bool = False) -> None:
    """Make ``folder`` where it lacks; OSError when that fails."""
    if folder.is_dir():
        return
    if make_parents and not folder.parent.is_dir():
        make_folder(folder.parent, make_parents=True)
    folder.mkdir(exist_ok=True)
    sync_folder(folder.parent)


def sync_folder(folder: Path) -> None:
    """Bring the names in ``folder`` to disk."""
    if os.name == "nt":  # Windows cannot open a folder for this; it logs names by itself.
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
