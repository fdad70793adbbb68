"""What a killed backup or restore left is swept away by the next one of the same target."""

from __future__ import annotations

import os
import time
from typing import TYPE_CHECKING

import pytest

from spikecheck.store.backup import making, restoring
from spikecheck.store.backup.restoring import restore_backup
from spikecheck.store.backup.unfinished import sweep_unfinished

if TYPE_CHECKING:
    from pathlib import Path

    from spikecheck.store import Store

NEARLY_AN_HOUR_S, OVER_AN_HOUR_S = 3500.0, 3601.0


class _KilledError(BaseException):
    """Stands for the end of the process."""


def _age(path: Path, seconds: float) -> None:
    ago_s = time.time() - seconds
    for one in (*path.rglob("*"), path):
        os.utime(one, (ago_s, ago_s))


def _names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


@pytest.fixture
def places(tmp_path: Path) -> Path:
    """A folder for backups and restored records."""
    (tmp_path / "places").mkdir()
    return tmp_path / "places"


def test_killed_backup_is_swept_an_hour_later(
    sqlite_store: Store, places: Path, monkeypatch: pytest.MonkeyPatch
):
    def die(*_given: object, **_named: object) -> None:
        raise _KilledError

    with monkeypatch.context() as patch:
        patch.setattr(making.zipfile, "ZipFile", die)
        patch.setattr(making.Path, "unlink", lambda *_given, **_named: None)
        with pytest.raises(_KilledError):
            sqlite_store.back_up(places / "backup.zip")
    (left,) = places.iterdir()
    _age(left, NEARLY_AN_HOUR_S)
    sqlite_store.back_up(places / "backup.zip")
    assert _names(places) == {left.name, "backup.zip"}  # it may still be written
    (places / "backup.zip").unlink()
    _age(left, OVER_AN_HOUR_S)
    sqlite_store.back_up(places / "other.zip")
    assert left.exists()  # of another target
    sqlite_store.back_up(places / "backup.zip")
    assert _names(places) == {"other.zip", "backup.zip"}


def test_killed_restore_is_swept_an_hour_after_it_last_wrote(
    backup_of_a_folder: bytes, tmp_path: Path, places: Path, monkeypatch: pytest.MonkeyPatch
):
    backup = tmp_path / "backup.zip"
    backup.write_bytes(backup_of_a_folder)

    def die(*_given: object, **_named: object) -> None:
        raise _KilledError

    with monkeypatch.context() as patch:
        patch.setattr(restoring.Path, "rename", die)
        patch.setattr(restoring.shutil, "rmtree", lambda *_given, **_named: None)
        with pytest.raises(_KilledError):
            restore_backup(backup, str(places / "records"))
    (left,) = places.iterdir()
    photo = next(path for path in (left / "photos").rglob("*") if path.is_file())
    _age(left, OVER_AN_HOUR_S)
    os.utime(photo)  # deep within, something was just written
    restore_backup(backup, str(places / "records"))
    assert _names(places) == {left.name, "records"}
    _age(left, OVER_AN_HOUR_S)
    restore_backup(backup, str(places / "other"))
    assert left.exists()
    sweep_unfinished(places / "records")
    assert _names(places) == {"records", "other"}


@pytest.mark.parametrize(
    "name",
    [".a.zip.20260504", ".a.zip.unfinished", ".a.zip.x.unfinished.txt", ".aXzip.x.unfinished",
     "a.zip.x.unfinished", ".a.zip.my copy.unfinished"],
)  # fmt: skip
def test_files_of_the_user_stay(places: Path, name: str):
    (places / name).write_text("mine")
    _age(places / name, OVER_AN_HOUR_S)
    sweep_unfinished(places / "a.zip")
    assert _names(places) == {name}


def test_link_is_taken_away_and_not_followed(places: Path, tmp_path: Path):
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "file").write_text("mine")
    link = places / ".a.ab12.unfinished"
    link.symlink_to(tmp_path / "mine")
    ago_s = time.time() - OVER_AN_HOUR_S
    os.utime(link, (ago_s, ago_s), follow_symlinks=False)
    os.utime(tmp_path / "mine" / "file", (ago_s, ago_s))
    sweep_unfinished(places / "a")
    assert _names(places) == set()
    assert (tmp_path / "mine" / "file").read_text() == "mine"


def test_folder_that_is_not_there_is_passed_over(tmp_path: Path):
    sweep_unfinished(tmp_path / "no" / "a.zip")
