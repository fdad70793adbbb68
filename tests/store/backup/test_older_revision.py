"""A backup of an older spikecheck is put back as it was, then brought to the newest tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from spikecheck.store import open_store
from spikecheck.store.backup.restoring import restore_backup
from spikecheck.vocabulary import Verdict
from tests.store.backup.made_up_backups import sha256, write_backup

if TYPE_CHECKING:
    from pathlib import Path

_PHOTO, _OVERLAY = b"\xff\xd8\xff invented", b"\x89PNG\r\n\x1a\n invented"
# As the first revision kept them, which is never changed any more.
_TABLES = {
    "crosses": [
        {
            "id": "W25-001", "female": "Ferra", "male": "Olmo", "note": "",
            "created_at": "2025-06-01T04:00:00+00:00",
        }
    ],
    "spikes": [{"id": 5, "cross_id": "W25-001", "number": 3}],
    "checks": [
        {
            "id": 7, "spike_id": 5, "checked_by": "Ida", "checked_at": "2025-06-02T04:00:00+00:00",
            "verdict": "review", "result": "{}", "model_name": "invented", "model_version": "1",
            "model_sha256": "a" * 64, "thresholds_sha256": "b" * 64, "software_version": "0.1",
        }
    ],
    "check_photos": [
        {
            "check_id": 7, "position": 0, "file_name": "a.jpg", "sha256": sha256(_PHOTO),
            "overlay_sha256": sha256(_OVERLAY),
        }
    ],
    "overrides": [
        {
            "id": 2, "check_id": 7, "overridden_by": "Bo", "verdict": "pass", "reason": "a shadow",
            "overridden_at": "2025-06-02T05:00:00.250000+00:00",
        }
    ],
}  # fmt: skip


def test_backup_of_the_first_revision_is_brought_to_the_newest(empty_database: str, tmp_path: Path):
    write_backup(tmp_path / "old.zip", "0001", _TABLES, [_PHOTO, _OVERLAY])
    assert restore_backup(tmp_path / "old.zip", empty_database).revision == "0001"
    with open_store(empty_database) as store:
        (check,) = store.checks("W25-001")
        assert (check.id, check.spike, check.standing_verdict) == (7, 3, Verdict.PASS)
        assert check.overrides[0].at.isoformat() == "2025-06-02T05:00:00.250000+00:00"
        assert store.photo(check.photos[0]) == _PHOTO
        assert store.overlay(check.photos[0]) == _OVERLAY
        assert store.spikes.one("W25-001", 3).overridden_by == "Bo"
        assert not store.verify().faults
        made = store.back_up(tmp_path / "new.zip")
    assert made.rows["entries"] > 0  # the revision after it wrote the history of what was there


@pytest.mark.parametrize("missing", ["overrides", "spikes"])
def test_backup_that_lacks_a_table_of_its_revision_is_refused(
    empty_database: str, tmp_path: Path, missing: str
):
    from spikecheck.errors import BackupError

    tables = {name: rows for name, rows in _TABLES.items() if name != missing}
    write_backup(tmp_path / "old.zip", "0001", tables, [_PHOTO, _OVERLAY])
    with pytest.raises(BackupError, match="it has other tables than its revision"):
        restore_backup(tmp_path / "old.zip", empty_database)
