"""The first thing in a backup: what it holds, and the hash of every part.

A backup is a ZIP file (with ZIP64 where it is large) of ``backup.json``, one ``tables/NAME.jsonl``
for each table with a JSON object for each row, and one ``photos/SHA-256`` for each photo or
overlay that a table names. Photos are stored as they are, tables are deflated.
"""

from __future__ import annotations

import json
import re
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from spikecheck.errors import BackupError

if TYPE_CHECKING:
    from collections.abc import Mapping

FORMAT = "spikecheck.backup/1"
MANIFEST_NAME = "backup.json"
_TABLE = re.compile(r"tables/([a-z][a-z0-9_]*)\.jsonl")
_PHOTO = re.compile(r"photos/([0-9a-f]{64})")
_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Part:
    """One file within a backup.

    Parameters
    ----------
    sha256
        Hex digest of its bytes.
    size_bytes
        How many they are.
    """

    sha256: str
    size_bytes: int


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a backup holds.

    Parameters
    ----------
    revision
        Revision of the tables.
    made_at
        When the state that it holds was read, UTC, ISO 8601.
    software_version
        Version of spikecheck that made it.
    rows
        How many rows each table has.
    parts
        Every file in it but the manifest, by name.
    """

    revision: str
    made_at: str
    software_version: str
    rows: Mapping[str, int]
    parts: Mapping[str, Part]

    @property
    def photos(self) -> frozenset[str]:
        """SHA-256 of each photo and overlay in it."""
        return frozenset(
            found[1] for name in self.parts if (found := _PHOTO.fullmatch(name)) is not None
        )

    @property
    def size_bytes(self) -> int:
        """Size of everything in it, unpacked."""
        return sum(part.size_bytes for part in self.parts.values())

    def to_json(self) -> bytes:
        """Return the text of the manifest, UTF-8."""
        return json.dumps({"format": FORMAT, **asdict(self)}, indent=1).encode()


def table_part(name: str) -> str:
    """Return the name of the part that holds a table."""
    return f"tables/{name}.jsonl"


def photo_part(sha256: str) -> str:
    """Return the name of the part that holds a photo or overlay."""
    return f"photos/{sha256}"


def read_manifest(text: bytes, *, where: str) -> Manifest:
    """Return the manifest that ``text`` spells.

    Raises
    ------
    BackupError
        If it is none, of another format, or names parts that a backup cannot have.
    """
    try:
        told = json.loads(text)
        if told["format"] != FORMAT:
            raise BackupError(
                f"the backup has the format {str(told['format'])[:40]}, known is {FORMAT}",
                where=where,
                cure="Restore it with the newest spikecheck",
            )
        manifest = Manifest(
            revision=_text(told["revision"]),
            made_at=_text(told["made_at"]),
            software_version=_text(told["software_version"]),
            rows={_text(name): _count(number) for name, number in told["rows"].items()},
            parts={
                _text(name): Part(_text(part["sha256"]), _count(part["size_bytes"]))
                for name, part in told["parts"].items()
            },
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise BackupError(
            f"{MANIFEST_NAME} in the backup cannot be understood",
            where=where,
            cure="Use another copy of the backup",
        ) from error
    if not _holds_together(manifest):
        raise BackupError(
            f"{MANIFEST_NAME} in the backup contradicts itself",
            where=where,
            cure="Use another copy of the backup",
        )
    return manifest


def _holds_together(manifest: Manifest) -> bool:
    tables = set()
    for name, part in manifest.parts.items():
        table, photo = _TABLE.fullmatch(name), _PHOTO.fullmatch(name)
        if _SHA256.fullmatch(part.sha256) is None or (table is None and photo is None):
            return False
        if photo is not None and photo[1] != part.sha256:
            return False
        if table is not None:
            tables.add(table[1])
    return tables == set(manifest.rows)


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError
    return value


def _count(value: object) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise TypeError
    return value
