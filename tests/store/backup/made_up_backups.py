"""Backups put together by hand: of older revisions, damaged, forged."""

from __future__ import annotations

import hashlib
import json
import zipfile
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path

Parts = dict[str, bytes]
Manifest = dict[str, Any]


def sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def write_backup(
    path: Path, revision: str, tables: Mapping[str, Sequence[Mapping[str, object]]],
    photos: Sequence[bytes] = (),
) -> None:  # fmt: skip
    """Write a backup of these rows and photos, with the hashes that they have."""
    parts = {
        f"tables/{name}.jsonl": b"".join(json.dumps(row).encode() + b"\n" for row in rows)
        for name, rows in tables.items()
    }
    parts |= {f"photos/{sha256(photo)}": photo for photo in photos}
    manifest = {
        "format": "spikecheck.backup/1",
        "revision": revision,
        "made_at": "2026-06-01T12:00:00+00:00",
        "software_version": "0.1",
        "rows": {name: len(rows) for name, rows in tables.items()},
    }
    _write(path, parts, manifest | {"parts": parts_of(parts)})


def parts_of(parts: Parts) -> dict[str, dict[str, object]]:
    return {
        name: {"sha256": sha256(content), "size_bytes": len(content)}
        for name, content in parts.items()
    }


def change_backup(
    path: Path,
    change: Callable[[Parts, Manifest], None],
    *,
    as_forger: bool,
    packing: int = zipfile.ZIP_DEFLATED,
) -> None:
    """Write a backup again after ``change``; a forger also mends the hashes."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    manifest = json.loads(parts.pop("backup.json"))
    change(parts, manifest)
    if as_forger:
        manifest["parts"] = parts_of(parts)
    _write(path, parts, manifest, packing=packing)


def _write(
    path: Path, parts: Parts, manifest: Manifest, *, packing: int = zipfile.ZIP_DEFLATED
) -> None:
    with zipfile.ZipFile(path, "w", packing) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
        archive.writestr("backup.json", json.dumps(manifest))
