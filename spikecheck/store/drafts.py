"""Checks that are begun and not recorded yet, on disk beside the photos: photos and choices.

They outlive a reload of the page, a dropped connection and the end of the server. They are no
records: no backup holds them, nothing verifies them, and they are swept away some days after their
last change. Each has an owner, and only its owner is given it. A folder a draft:

::

    photos/drafts/<id>/draft.json     who, when, which photos in which order, what was chosen
                      /<xx>/<sha256>  the photos, kept as those of the records are

The file is replaced in one step after the photos it names are on disk, so a killed process leaves
the draft before the change or after it.
"""

from __future__ import annotations

import json
import os
import re
import secrets
import shutil
import tempfile
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from spikecheck.store.durable import make_folder, sync_folder
from spikecheck.store.failures import disk_failure
from spikecheck.store.photo_files import PhotoFiles
from spikecheck.thresholds.bench import load_bench

if TYPE_CHECKING:
    from collections.abc import Iterable

_FILE = "draft.json"
_ID_BYTES = 16
_ID = re.compile(r"[A-Za-z0-9_-]{22}")  # nothing else may become part of a path


@dataclass(frozen=True, slots=True)
class DraftPhoto:
    """A photo of a draft: its name as it came, and the hex SHA-256 of its bytes."""

    file: str
    sha256: str


@dataclass(frozen=True, slots=True)
class RecordingBegun:
    """What was about to be recorded.

    Parameters
    ----------
    cross, spike
        Whose check it is.
    latest
        Number of the latest check of that spike before it, 0 without one.
    """

    cross: str
    spike: int
    latest: int


@dataclass(frozen=True, slots=True)
class CheckDraft:
    """A check that is begun and not recorded.

    Parameters
    ----------
    id
        Opaque; cannot be guessed.
    owner
        Name of who signed in to begin it; empty where nobody signs in.
    begun_at
        When, UTC.
    by
        Who checks, as it will stand in the record; may be empty so far.
    cross, spike
        The spike, as far as it is chosen; None or 1 before.
    photos
        In the order of taking.
    recording
        What was about to be recorded, or None.
    """

    id: str
    owner: str
    begun_at: datetime
    by: str = ""
    cross: str | None = None
    spike: int = 1
    photos: tuple[DraftPhoto, ...] = ()
    recording: RecordingBegun | None = None


def new_draft(owner: str, *, now: datetime) -> CheckDraft:
    """Return an empty draft with an id of its own; nothing is on disk yet."""
    return CheckDraft(secrets.token_urlsafe(_ID_BYTES), owner, now.astimezone(UTC))


class DraftFiles:
    """The drafts of one store.

    Parameters
    ----------
    folder
        Where they lie; made when the first is kept.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def keep(self, draft: CheckDraft, contents: Iterable[bytes] = ()) -> None:
        """Write a draft, or what has changed of it; when this returns it outlives a power cut.

        Parameters
        ----------
        draft
            The draft as it is now.
        contents
            Bytes of the photos that are new.

        Raises
        ------
        StoreError
            If it cannot be written; the draft is then as it was.
        """
        home = self._folder / draft.id
        photos = PhotoFiles(home)
        text = json.dumps({**asdict(draft), "begun_at": draft.begun_at.isoformat()})
        try:
            make_folder(home, make_parents=True)
            for content in contents:
                photos.keep(content)
            handle, name = tempfile.mkstemp(dir=home)
            try:
                with os.fdopen(handle, "w", encoding="utf-8") as file:
                    file.write(text)
                    file.flush()
                    os.fsync(file.fileno())
                os.replace(name, home / _FILE)  # noqa: PTH105  (one call to stop at in a kill test)
            except OSError:
                Path(name).unlink(missing_ok=True)
                raise
            sync_folder(home)
        except OSError as error:
            raise disk_failure(error, str(self._folder)) from error

    def find(self, id_: str, *, owner: str) -> CheckDraft | None:
        """Return a draft of this owner, or None where there is none of this id.

        That of somebody else is not told from one that is not there.
        """
        draft = self._read(id_)
        return draft if draft is not None and draft.owner == owner else None

    def of(self, owner: str) -> tuple[CheckDraft, ...]:
        """Return the drafts of this owner that hold a photo, the one begun last first."""
        with suppress(FileNotFoundError):
            found = [self._read(path.name) for path in self._folder.iterdir()]
            own = [one for one in found if one is not None and one.owner == owner and one.photos]
            return tuple(sorted(own, key=lambda draft: draft.begun_at, reverse=True))
        return ()

    def photo(self, draft: CheckDraft, photo: DraftPhoto) -> bytes:
        """Return the bytes of a photo of a draft.

        Raises
        ------
        StoreError
            If they are missing or damaged.
        """
        return PhotoFiles(self._folder / draft.id).read(photo.sha256)

    def remove(self, id_: str) -> None:
        """Remove a draft; one that is not there is no error.

        Raises
        ------
        StoreError
            If it cannot be removed.
        """
        if _ID.fullmatch(id_) is None:
            return
        home = self._folder / id_
        try:
            (home / _FILE).unlink(missing_ok=True)  # without this the rest is read by nobody
            if home.is_dir():
                sync_folder(home)
        except OSError as error:
            raise disk_failure(error, str(self._folder)) from error
        shutil.rmtree(home, ignore_errors=True)

    def sweep(self, *, now: datetime) -> None:
        """Remove what was not changed for some days, and what a killed process left."""
        oldest_s = (now - timedelta(days=load_bench().draft_days)).timestamp()
        with suppress(OSError):  # no folder yet, or swept by another process meanwhile
            for home in self._folder.iterdir():
                changed = home / _FILE if (home / _FILE).exists() else home
                if changed.stat().st_mtime < oldest_s:
                    shutil.rmtree(home, ignore_errors=True)

    def _read(self, id_: str) -> CheckDraft | None:
        """Return a draft; None where there is none that can be understood."""
        if _ID.fullmatch(id_) is None:
            return None
        try:
            entry = json.loads((self._folder / id_ / _FILE).read_text(encoding="utf-8"))
            return _draft(entry)
        except (OSError, ValueError, KeyError, TypeError):
            return None


def _draft(entry: dict[str, Any]) -> CheckDraft:
    begun = entry["recording"]
    return CheckDraft(
        id=entry["id"],
        owner=entry["owner"],
        begun_at=datetime.fromisoformat(entry["begun_at"]),
        by=entry["by"],
        cross=entry["cross"],
        spike=int(entry["spike"]),
        photos=tuple(DraftPhoto(**photo) for photo in entry["photos"]),
        recording=None if begun is None else RecordingBegun(**begun),
    )
