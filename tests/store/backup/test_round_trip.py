"""What goes into a backup comes out of it, from and to either kind of database."""

from __future__ import annotations

import json
import os
import stat
import zipfile
from typing import TYPE_CHECKING

import pytest

from spikecheck.errors import BackupError, StoreError
from spikecheck.store import open_store
from spikecheck.store.backup.restoring import restore_backup
from spikecheck.store.backup.stages import Stage
from spikecheck.store.revisions import HEAD
from spikecheck.store.season_tables import entries
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from spikecheck.store import NewCheck, Store


def test_everything_comes_back(
    full_store: Store, target: str, tmp_path: Path, make_check: Callable[..., NewCheck]
):
    made = full_store.back_up(tmp_path / "first.zip")
    assert restore_backup(tmp_path / "first.zip", target) == made
    with open_store(target) as restored:
        assert restored.crosses() == full_store.crosses()
        for cross in ("W26-014", "W26-015"):
            assert restored.checks(cross) == full_store.checks(cross)
            for check in restored.checks(cross):
                for photo in check.photos:
                    assert restored.photo(photo) == full_store.photo(photo)
                    assert restored.overlay(photo) == full_store.overlay(photo)
        # The same rows and bytes to the last, in every table: a backup of it has the same hashes.
        again = restored.back_up(tmp_path / "second.zip")
        assert (again.parts, again.rows) == (made.parts, made.rows)
        assert restored.temperatures.of_place("tunnel 2") == full_store.temperatures.of_place(
            "tunnel 2"
        )
        assert restored.practice.of("Ida") == full_store.practice.of("Ida") != ()
        assert restored.verify().faults == ()
        # What is recorded next is numbered on from what was restored.
        last = max(check.id for check in restored.checks("W26-014") + restored.checks("W26-015"))
        assert restored.add_check(make_check(), cross="W26-014", spike=9, by="Bo").id == last + 1
        assert len(restored.override(last, "Bo", "looked again").overrides) == 1
        assert restored.verify().faults == ()


def test_backup_holds_every_table_of_the_code_and_each_photo_once(
    full_store: Store, tmp_path: Path
):
    made = full_store.back_up(tmp_path / "backup.zip")
    assert set(made.rows) == set(entries.metadata.tables)
    assert made.revision == HEAD
    empty = {name for name, rows in made.rows.items() if not rows}
    assert empty <= {"sessions", "session_people", "tags"}
    assert made.rows["checks"] == 3
    assert made.rows["daily_temperatures"] == 1
    assert len(made.photos) == 6
    with zipfile.ZipFile(tmp_path / "backup.zip") as archive:
        assert set(archive.namelist()) == {*made.parts, "backup.json"}
        assert json.loads(archive.read("backup.json"))["format"] == "spikecheck.backup/1"
        lines = archive.read("tables/checks.jsonl").splitlines()
        assert [json.loads(line)["checked_by"] for line in lines] == ["Ida", "Bo", "Ida"]


def test_empty_store_can_be_backed_up(store: Store, tmp_path: Path):
    store.back_up(tmp_path / "backup.zip")
    restore_backup(tmp_path / "backup.zip", str(tmp_path / "restored"))
    with open_store(str(tmp_path / "restored")) as restored:
        assert restored.crosses() == ()
        restored.plans.add(planned("W26-014", "Ferra", "Olmo"))


def test_progress_is_told_to_the_end(full_store: Store, target: str, tmp_path: Path):
    told: list[tuple[Stage, int, int]] = []
    full_store.back_up(tmp_path / "backup.zip", progress=lambda *each: told.append(each))
    restore_backup(tmp_path / "backup.zip", target, progress=lambda *each: told.append(each))
    stages = list(dict.fromkeys(stage for stage, _, _ in told))
    assert stages == [Stage.TABLES, Stage.PHOTOS, Stage.CHECKING]
    for stage in stages:
        shares = [(done, total) for each, done, total in told if each is stage]
        assert (0, shares[-1][1]) in shares
        assert shares[-1][0] == shares[-1][1] > 0


def test_backup_holds_one_state_although_others_record_meanwhile(
    full_store: Store, location: str, tmp_path: Path, make_check: Callable[..., NewCheck]
):
    def record(stage: Stage, done: int, _total: int) -> None:
        if stage is Stage.TABLES and done in {1, 5}:
            with open_store(location) as other:
                other.plans.add(planned(f"late {done}", "Ferra", "Olmo"))
                other.add_check(make_check(mark=str(done)), cross="W26-014", spike=1, by="Bo")

    made = full_store.back_up(tmp_path / "backup.zip", progress=record)
    assert len(full_store.crosses()) == 4
    assert (made.rows["crosses"], made.rows["checks"], len(made.photos)) == (2, 3, 6)
    restore_backup(tmp_path / "backup.zip", str(tmp_path / "restored"))
    with open_store(str(tmp_path / "restored")) as restored:
        assert len(restored.crosses()) == 2


def test_backup_is_for_its_owner_only_and_nothing_is_left_beside_it(
    full_store: Store, tmp_path: Path
):
    folder = tmp_path / "backups"
    folder.mkdir()
    full_store.back_up(folder / "backup.zip")
    assert [path.name for path in folder.iterdir()] == ["backup.zip"]
    if os.name == "posix":
        assert stat.S_IMODE((folder / "backup.zip").stat().st_mode) == 0o600


def test_file_that_is_there_is_left_alone(full_store: Store, tmp_path: Path):
    (tmp_path / "backup.zip").write_text("mine")
    with pytest.raises(BackupError, match=r"the file is there already\. Give another name"):
        full_store.back_up(tmp_path / "backup.zip")
    assert (tmp_path / "backup.zip").read_text() == "mine"


def test_missing_folder_and_missing_photo_are_told(
    full_store: Store, tmp_path: Path, kept_photos: Callable[[], list[Path]]
):
    with pytest.raises(BackupError, match=r"the backup cannot be written \(No such file"):
        full_store.back_up(tmp_path / "no" / "backup.zip")
    kept_photos()[0].unlink()
    folder = tmp_path / "backups"
    folder.mkdir()
    with pytest.raises(StoreError, match="the photo is missing"):
        full_store.back_up(folder / "backup.zip")
    assert list(folder.iterdir()) == []
