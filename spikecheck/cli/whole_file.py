"""Writes a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_whole(file: Path, content: bytes) -> None:
    """Write beside the file, then put it in place in one step; OSError leaves nothing behind."""
    handle, name = tempfile.mkstemp(dir=file.parent, prefix=".spikecheck-", suffix=file.suffix)
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as target:
            target.write(content)
        temporary.chmod(0o666 & ~_umask())
        temporary.replace(file)
    except OSError:
        temporary.unlink(missing_ok=True)
        raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
