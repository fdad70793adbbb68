"""Writes a report to a file, or to the terminal."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from spikecheck.errors import OutputError

if TYPE_CHECKING:
    from pathlib import Path


def write_report(text: str, file: Path | None) -> None:
    """Write ``text`` to ``file``, or to standard output when there is none.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    if file is None:
        sys.stdout.write(text)
        return
    try:
        file.write_text(text, encoding="utf-8")
    except OSError as error:
        raise OutputError(
            f"cannot be written ({error.strerror})",
            where=str(file),
            cure="Name a file in a folder that you may write to",
        ) from error
