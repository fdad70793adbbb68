"""A backup that is damaged or forged, or a place that is taken, is refused and nothing is left."""

from __future__ import annotations

import json
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
from tests.store.backup.made_up_backups import change_backup, sha256

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from spikecheck.store import Store
    from tests.store.backup.made_up_backups import Manifest, Parts


@pytest.fixture
def database() -> str:
    """Where the backup comes from does not matter here."""
    return "sqlite"


@pytest.fixture
def backup(full_store: Store, tmp_path: Path) -> Path:
    path = tmp_path / "backup.zip"
    full_store.back_up(path)
    return path


def _refused(backup: Path, location: str) -> str:
    with pytest.raises(BackupError) as told:
        restore_backup(backup, location)
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


_CASES = [
    _Case(_damage_photo, False, "in the backup is damaged. Use another copy"),
    _Case(_damage_table, False, "tables/overrides.jsonl in the backup is damaged. Use another"),
    _Case(_lengthen_table, False, "tables/overrides.jsonl in the backup is not as it was written"),
    _Case(_drop_photo, False, "the backup does not hold what its backup.json names"),
    _Case(_add_file, False, "the backup does not hold what its backup.json names"),
    _Case(_add_file, True, "backup.json in the backup contradicts itself"),
    _Case(_misname_photo, True, "backup.json in the backup contradicts itself"),
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
    _Case(_name_other_format, True, "format spikecheck.backup/2, known is spikecheck.backup/1. R"),
    _Case(_forget_revision, True, "backup.json in the backup cannot be understood"),
]


@pytest.mark.parametrize(
    "case", _CASES, ids=lambda case: f"{case.change.__name__[1:]}{' forged' * case.forger}"
)
def test_changed_backup_is_refused_and_leaves_nothing(
    backup: Path, target: str, tmp_path: Path, case: _Case
):
    change_backup(backup, case.change, as_forger=case.forger)
    before = {path for path in tmp_path.iterdir() if path.name != "restored photos"}
    line = _refused(backup, target)
    assert case.message in line
    assert line.isprintable()
    assert {path for path in tmp_path.iterdir() if path.name != "restored photos"} == before
    assert not (tmp_path / "restored photos").is_dir() or not any(
        path.is_file() for path in (tmp_path / "restored photos").rglob("*")
    )
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
    """The size stands in the file's directory and in the manifest; both are forged here."""
    large = 50_000_000

    def swell(parts: Parts, _manifest: Manifest) -> None:
        parts["tables/overrides.jsonl"] = b"0" * large

    change_backup(backup, swell, as_forger=True)
    content = backup.read_bytes()
    small = (1000).to_bytes(4, "little")
    backup.write_bytes(content.replace(large.to_bytes(4, "little"), small))
    change = json.dumps({"size_bytes": large})[1:-1].encode(), b'"size_bytes": 1000    '
    assert len(content) < 200_000
    with zipfile.ZipFile(backup) as archive:
        manifest = archive.read("backup.json").replace(*change)
        kept = {info.filename: info.file_size for info in archive.infolist()}
    assert kept["tables/overrides.jsonl"] == 1000
    assert b'"size_bytes": 1000' in manifest
    assert "in the backup is" in _refused(backup, str(tmp_path / "restored"))


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
        store.add_cross("W26-016", "Ferra", "Olmo")
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
