"""A backup that is damaged or forged, or a place that is taken, is refused and nothing is left."""

from __future__ import annotations

import shutil
import zipfile
from typing import TYPE_CHECKING, NamedTuple

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from spikecheck.errors import BackupError, StoreError
from spikecheck.store import open_store
from spikecheck.store.backup.archive import open_backup
from spikecheck.store.backup.restoring import restore_backup
from spikecheck.store.backup.stages import silent
from tests.plans import planned
from tests.store.backup.made_up_backups import change_backup, sha256

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.store.backup.made_up_backups import Manifest, Parts


@pytest.fixture
def backup(backup_of_a_folder: bytes, tmp_path: Path) -> Path:
    path = tmp_path / "backup.zip"
    path.write_bytes(backup_of_a_folder)
    return path


def _refused(backup: Path, location: str) -> str:
    with pytest.raises(BackupError) as told:
        restore_backup(backup, location)
    assert told.value.where
    assert told.value.cure
    return str(told.value)


def _first_photo(parts: Parts) -> str:
    return next(name for name in sorted(parts) if name.startswith("photos/"))


def _damage_photo(parts: Parts, _manifest: Manifest) -> None:
    parts[_first_photo(parts)] = parts[_first_photo(parts)][::-1]


def _damage_table(parts: Parts, _manifest: Manifest) -> None:
    parts["tables/overrides.jsonl"] = parts["tables/overrides.jsonl"].replace(b"Bo", b"Bu")


def _lengthen_table(parts: Parts, _manifest: Manifest) -> None:
    parts["tables/overrides.jsonl"] += b" "


def _drop_photo(parts: Parts, _manifest: Manifest) -> None:
    del parts[_first_photo(parts)]


def _drop_table(parts: Parts, manifest: Manifest) -> None:
    del parts["tables/tags.jsonl"]
    manifest["rows"].pop("tags")


def _add_file(parts: Parts, _manifest: Manifest) -> None:
    parts["photos/../../evil"] = b"evil"


def _add_photo(parts: Parts, _manifest: Manifest) -> None:
    parts[f"photos/{sha256(b'evil')}"] = b"evil"


def _misname_photo(parts: Parts, _manifest: Manifest) -> None:
    parts[f"photos/{'0' * 64}"] = parts.pop(_first_photo(parts))


def _swap_number_for_text(parts: Parts, _manifest: Manifest) -> None:
    name = "tables/spikes.jsonl"
    parts[name] = parts[name].replace(b'"number":1', b'"number":"1"')


def _spell_no_json(parts: Parts, _manifest: Manifest) -> None:
    parts["tables/spikes.jsonl"] = b"[[[\n"


def _add_column(parts: Parts, _manifest: Manifest) -> None:
    name = "tables/spikes.jsonl"
    parts[name] = parts[name].replace(b'"number"', b'"colour":1,"number"')


def _orphan_checks(parts: Parts, manifest: Manifest) -> None:
    parts["tables/overrides.jsonl"] = b""
    manifest["rows"]["overrides"] = 0
    name = "tables/checks.jsonl"
    parts[name] = parts[name].replace(b'"spike_id":1', b'"spike_id":77')


def _miscount(_parts: Parts, manifest: Manifest) -> None:
    manifest["rows"]["checks"] += 1


def _name_newer_revision(_parts: Parts, manifest: Manifest) -> None:
    manifest["revision"] = "9001"


def _name_older_revision(_parts: Parts, manifest: Manifest) -> None:
    manifest["revision"] = "0001"


def _name_other_format(_parts: Parts, manifest: Manifest) -> None:
    manifest["format"] = "spikecheck.backup/2"


def _forget_revision(_parts: Parts, manifest: Manifest) -> None:
    del manifest["revision"]


class _Case(NamedTuple):
    change: Callable[[Parts, Manifest], None]
    forger: bool
    message: str


_OF_FILES = [
    _Case(_damage_photo, False, "in the backup is damaged. Use another copy"),
    _Case(_damage_table, False, "tables/overrides.jsonl in the backup is damaged. Use another"),
    _Case(_lengthen_table, False, "tables/overrides.jsonl in the backup is not as it was written"),
    _Case(_drop_photo, False, "the backup does not hold what its backup.json names"),
    _Case(_add_file, False, "the backup does not hold what its backup.json names"),
    _Case(_add_file, True, "backup.json in the backup contradicts itself"),
    _Case(_misname_photo, True, "backup.json in the backup contradicts itself"),
    _Case(_name_other_format, True, "format spikecheck.backup/2, known is spikecheck.backup/1. R"),
    _Case(_forget_revision, True, "backup.json in the backup cannot be understood"),
]
_OF_ROWS = [
    _Case(_drop_photo, True, "contradicts itself: it has not the photos that its tables name"),
    _Case(_add_photo, True, "contradicts itself: it has not the photos that its tables name"),
    _Case(_drop_table, True, "contradicts itself: it has other tables than its revision"),
    _Case(_swap_number_for_text, True, "a line that is no row of the table spikes"),
    _Case(_spell_no_json, True, "a line that is no row of the table spikes"),
    _Case(_add_column, True, "a line that is no row of the table spikes"),
    _Case(_orphan_checks, True, "contradicts itself: its rows do not fit together"),
    _Case(_miscount, True, "contradicts itself: it has not as many rows as it says"),
    _Case(_name_newer_revision, True, "a newer spikecheck made the backup (revision 9001). Inst"),
    _Case(_name_older_revision, True, "contradicts itself: it has other tables than its revision"),
]


def _name(case: _Case) -> str:
    return f"{case.change.__name__[1:]}{' forged' * case.forger}"


@pytest.mark.parametrize("case", _OF_FILES, ids=_name)
def test_backup_with_other_files_is_refused_and_leaves_nothing(
    backup: Path, tmp_path: Path, case: _Case
):
    change_backup(backup, case.change, as_forger=case.forger)
    assert case.message in _refused(backup, str(tmp_path / "restored"))
    assert list(tmp_path.iterdir()) == [backup]


@pytest.mark.parametrize("case", _OF_ROWS, ids=_name)
def test_backup_with_other_rows_is_refused_and_leaves_nothing(
    backup: Path, target: str, tmp_path: Path, case: _Case
):
    """Its hashes are right: only the database can tell."""
    change_backup(backup, case.change, as_forger=case.forger)
    line = _refused(backup, target)
    assert case.message in line
    assert line.isprintable()
    assert {path for path in tmp_path.rglob("*") if path.is_file()} == {backup}
    with open_store(target) as store:
        assert store.crosses() == ()


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_damage_is_told_or_harmless(backup: Path, tmp_path: Path, data: st.DataObject):
    """One byte changed or the end cut off, anywhere: an error of the project, or the same parts."""
    content = bytearray(backup.read_bytes())
    with open_backup(backup) as whole:
        parts = whole.manifest.parts
    at = data.draw(st.integers(0, len(content) - 1), label="at")
    if data.draw(st.booleans(), label="cut"):
        del content[at:]
    else:
        content[at] ^= data.draw(st.integers(1, 255), label="bits")
    damaged = tmp_path / "damaged.zip"
    damaged.write_bytes(content)
    try:
        with open_backup(damaged) as opened:
            opened.check(silent)
            assert opened.manifest.parts == parts
    except BackupError as error:
        assert str(error).isprintable()  # noqa: PT017  (most damage is told, some is in no part)


def test_file_that_is_no_backup_is_told(tmp_path: Path):
    location = str(tmp_path / "restored")
    assert "the backup cannot be read (No such file" in _refused(tmp_path / "none.zip", location)
    (tmp_path / "letter.zip").write_text("a letter")
    assert "the file is no backup, or was cut short" in _refused(tmp_path / "letter.zip", location)
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as archive:
        archive.writestr("letter.txt", "a letter")
    assert "the file is no backup: it lacks backup.json" in _refused(
        tmp_path / "other.zip", location
    )


def test_part_that_unpacks_to_more_than_it_says_is_refused(backup: Path, tmp_path: Path):
    """The size is forged in the manifest and in the file's own directory."""
    large, told = 50_000_000, 1000
    name = "tables/overrides.jsonl"

    def swell(parts: Parts, manifest: Manifest) -> None:
        parts[name] = b"0" * large
        manifest["parts"][name] = {"sha256": sha256(b"0" * told), "size_bytes": told}

    change_backup(backup, swell, as_forger=False)
    assert f"{name} in the backup is not as it was written" in _refused(
        backup, str(tmp_path / "restored")
    )
    sizes = large.to_bytes(4, "little"), told.to_bytes(4, "little")
    backup.write_bytes(backup.read_bytes().replace(*sizes))
    with zipfile.ZipFile(backup) as archive:
        assert archive.getinfo(name).file_size == told
    assert backup.stat().st_size < large / 100
    assert f"{name} in the backup is damaged" in _refused(backup, str(tmp_path / "restored"))


def test_line_without_end_is_refused(backup: Path, tmp_path: Path):
    def cut(parts: Parts, _manifest: Manifest) -> None:
        parts["tables/overrides.jsonl"] = parts["tables/overrides.jsonl"][:-1]

    change_backup(backup, cut, as_forger=True)
    assert "has a line without end" in _refused(backup, str(tmp_path / "restored"))


def test_folder_that_is_not_empty_is_left_alone(backup: Path, tmp_path: Path):
    taken = tmp_path / "taken"
    taken.mkdir()
    (taken / "letter.txt").write_text("mine")
    for place in (taken, taken / "letter.txt"):
        assert "the folder is not empty. Give a new folder" in _refused(backup, str(place))
    assert [path.read_text() for path in taken.iterdir()] == ["mine"]
    restore_backup(backup, str(tmp_path / "restored"))
    assert "the folder is not empty" in _refused(backup, str(tmp_path / "restored"))
    (tmp_path / "empty").mkdir()
    restore_backup(backup, str(tmp_path / "empty"))
    with open_store(str(tmp_path / "empty")) as store:
        assert len(store.crosses()) == 2


def test_folder_within_none_is_told(backup: Path, tmp_path: Path):
    line = _refused(backup, str(tmp_path / "no" / "restored"))
    assert "the folder cannot be made (No such file or directory)" in line


def test_database_that_holds_records_is_left_alone(backup: Path, target: str):
    restore_backup(backup, target)
    with open_store(target) as store:
        store.plans.add(planned("W26-016", "Ferra", "Olmo"))
    _refused(backup, target)
    with open_store(target) as store:
        assert len(store.crosses()) == 3


def test_disk_without_room_is_told(backup: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    usage = shutil.disk_usage(tmp_path)
    monkeypatch.setattr(shutil, "disk_usage", lambda _folder: usage._replace(free=10))
    before = set(tmp_path.iterdir())
    assert "the backup needs 0 MiB, 0 MiB are free" in _refused(backup, str(tmp_path / "restored"))
    assert set(tmp_path.iterdir()) == before


def test_failure_halfway_leaves_nothing(
    backup: Path, target: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    from spikecheck.store.photo_files import PhotoFiles

    def fail(_photos: PhotoFiles, _content: bytes) -> str:
        raise StoreError("the disk is full")

    with monkeypatch.context() as patch:
        patch.setattr(PhotoFiles, "keep", fail)
        with pytest.raises(StoreError, match="the disk is full"):
            restore_backup(backup, target)
    assert not (tmp_path / "restored").exists()
    restore_backup(backup, target)
    with open_store(target) as store:
        assert len(store.crosses()) == 2
