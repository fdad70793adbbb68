"""What a killed backup or restore leaves beside its place: found by its name, swept away later."""

from __future__ import annotations

import re
import shutil
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

# Ends the name of what is being written; no name that a person gives to a copy ends so.
UNFINISHED = ".unfinished"
_ABANDONED_S = 3600.0


def sweep_unfinished(target: Path) -> None:
    """Remove what killed processes left of ``target``, an hour or more after they last wrote.

    Parameters
    ----------
    target
        The file or folder that was to be made: what is left beside it is named
        ``.<name>.<random>.unfinished``.
    """
    left = re.compile(rf"\.{re.escape(target.name)}\.[a-z0-9_]+{re.escape(UNFINISHED)}")
    oldest_s = time.time() - _ABANDONED_S
    try:
        found = [path for path in target.parent.iterdir() if left.fullmatch(path.name)]
    except OSError:
        return  # The folder cannot be read: whoever writes to it next tells that.
    for path in found:
        try:
            if _written_s(path) >= oldest_s:
                continue
            if path.is_dir() and not path.is_symlink():
                shutil.rmtree(path, ignore_errors=True)
            else:
                path.unlink(missing_ok=True)
        except OSError:
            # Swept by another process meanwhile, or not ours to sweep: harmless either way.
            continue


def _written_s(path: Path) -> float:
    """Return when anything within was last written, s since 1970."""
    return max(one.lstat().st_mtime for one in (path, *path.rglob("*")))
