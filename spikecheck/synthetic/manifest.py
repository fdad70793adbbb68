"""The manifest of a set of images: what each was drawn from, and the digests of its files."""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from pathlib import Path
from typing import Any

from spikecheck.errors import OutputError
from spikecheck.synthetic.version import GENERATOR_VERSION

MANIFEST = "manifest.json"
MANIFEST_SCHEMA = "spikecheck.images/1"
_CURE = "Choose a folder that can be written to and has room"


def sha256_of(data: bytes) -> str:
    """Return the SHA-256 hex digest of bytes."""
    return hashlib.sha256(data).hexdigest()


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that it is there whole or not at all.

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    temporary: str | None = None
    try:
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).chmod(0o644)
        Path(temporary).replace(path)
    except OSError as error:
        if temporary is not None:
            Path(temporary).unlink(missing_ok=True)
        raise OutputError(
            f"cannot be written ({error.strerror})", where=str(path), cure=_CURE
        ) from error


def read_entries(folder: Path) -> dict[str, dict[str, Any]]:
    """Return the manifest's entries of this generator version, by image name.

    A manifest that is missing, of another version or not understood has none: its images are
    drawn again.
    """
    try:
        manifest = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
        if manifest["generator"] != GENERATOR_VERSION:
            return {}
        return {str(entry["image"]): dict(entry) for entry in manifest["images"]}
    except (OSError, ValueError, KeyError, TypeError):
        return {}


def write_manifest(folder: Path, entries: list[dict[str, Any]]) -> None:
    """Write the manifest.

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    manifest = {"schema": MANIFEST_SCHEMA, "generator": GENERATOR_VERSION, "images": entries}
    write_whole(folder / MANIFEST, (json.dumps(manifest, indent=1) + "\n").encode())


def file_matches(path: Path, digest: object) -> bool:
    """Whether a file is there with this SHA-256 digest."""
    try:
        return sha256_of(path.read_bytes()) == digest
    except OSError:
        return False
