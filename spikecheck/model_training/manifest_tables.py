"""Writes tables of numbers into a network's ``model.toml``; what else stands there is kept."""

from __future__ import annotations

import re
import tomllib
from typing import TYPE_CHECKING

from spikecheck.errors import OutputError
from spikecheck.networks import read_manifest

if TYPE_CHECKING:
    from pathlib import Path

_HEADER = re.compile(r"\s*\[")


def write_table(path: Path, name: str, body: str) -> None:
    """Put a table into a manifest in place of the one of this name.

    Parameters
    ----------
    path
        The ``model.toml``.
    name
        Of the table, such as ``"calibration"``.
    body
        Its entries as lines of TOML.

    Raises
    ------
    ModelError
        If the file is no manifest.
    OutputError
        If it cannot be written, or would be no manifest afterwards.
    """
    read_manifest(path)
    text = with_table(path.read_text(encoding="utf-8"), name, body)
    new = path.with_name(f".{path.name}.new")
    try:
        new.write_text(text, encoding="utf-8")
        new.replace(path)
    except OSError as error:
        raise OutputError(
            f"cannot be written ({error.strerror})",
            where=str(path),
            cure="Name a folder that you may write to",
        ) from error
    read_manifest(path)


def with_table(text: str, name: str, body: str) -> str:
    """Return the TOML text with the table ``name`` replaced, or added at the end.

    Raises
    ------
    OutputError
        If the outcome is no TOML.
    """
    kept, inside = [], False
    for line in text.splitlines():
        if _HEADER.match(line):
            inside = line.split("#")[0].strip() == f"[{name}]"
        if not inside:
            kept.append(line)
    whole = "\n".join(kept).rstrip() + f"\n\n[{name}]\n{body.strip()}\n"
    try:
        tomllib.loads(whole)
    except tomllib.TOMLDecodeError as error:
        raise OutputError(f"the table [{name}] is no TOML ({error})") from error
    return whole
