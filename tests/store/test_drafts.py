"""Half-finished checks on disk: whole or as they were, and nobody's but their owner's."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from typing import TYPE_CHECKING

import pytest

from spikecheck.errors import StoreError
from spikecheck.store.drafts import DraftFiles, DraftPhoto, RecordingBegun, new_draft
from spikecheck.thresholds.bench import load_bench

if TYPE_CHECKING:
    from pathlib import Path

    from spikecheck.store import Store

NOW = datetime(2026, 5, 4, 8, 32, tzinfo=UTC)
FRONT, BACK = b"\xff\xd8\xff front", b"\xff\xd8\xff back"


def photo(content: bytes, name: str = "1.jpg") -> DraftPhoto:
    return DraftPhoto(name, sha256(content).hexdigest())


@pytest.fixture
def drafts(tmp_path: Path) -> DraftFiles:
    return DraftFiles(tmp_path / "photos" / "drafts")


def test_a_draft_comes_back_as_it_was(drafts: DraftFiles):
    draft = replace(
        new_draft("Ida", now=NOW), by="Ida", cross="Ü-1 <b>", spike=4,
        photos=(photo(FRONT, "../a.jpg"), photo(BACK)), recording=RecordingBegun("Ü-1 <b>", 4, 9),
    )  # fmt: skip
    drafts.keep(draft, [FRONT, BACK])
    assert drafts.find(draft.id, owner="Ida") == draft
    assert [drafts.photo(draft, one) for one in draft.photos] == [FRONT, BACK]
    assert drafts.of("Ida") == (draft,)


def test_somebody_elses_is_as_if_it_were_not_there(drafts: DraftFiles):
    draft = replace(new_draft("Ida", now=NOW), photos=(photo(FRONT),))
    drafts.keep(draft, [FRONT])
    assert drafts.find(draft.id, owner="Bo") is None
    assert drafts.of("Bo") == ()
    assert drafts.find(draft.id, owner="") is None
    assert drafts.of("") == ()


@pytest.mark.parametrize("id_", ["", "..", "../../spikecheck.sqlite", "a" * 22, "é" * 22])
def test_an_id_from_outside_leads_nowhere(drafts: DraftFiles, id_: str):
    assert drafts.find(id_, owner="") is None
    drafts.remove(id_)


def test_ids_cannot_be_guessed():
    ids = {new_draft("", now=NOW).id for _ in range(50)}
    assert len(ids) == 50
    assert all(len(one) == 22 for one in ids)  # 16 random bytes, base64


def test_a_removed_draft_leaves_nothing(drafts: DraftFiles, tmp_path: Path):
    draft = replace(new_draft("", now=NOW), photos=(photo(FRONT),))
    drafts.keep(draft, [FRONT])
    drafts.remove(draft.id)
    assert drafts.find(draft.id, owner="") is None
    assert list((tmp_path / "photos" / "drafts").iterdir()) == []


def test_drafts_without_photos_are_kept_but_not_listed(drafts: DraftFiles):
    draft = new_draft("", now=NOW)
    drafts.keep(draft)
    assert drafts.of("") == ()
    assert drafts.find(draft.id, owner="") == draft


def test_the_latest_begun_comes_first(drafts: DraftFiles):
    for minutes in (5, 20, 10):
        draft = new_draft("", now=NOW + timedelta(minutes=minutes))
        drafts.keep(replace(draft, photos=(photo(FRONT),)), [FRONT])
    assert [one.begun_at.minute for one in drafts.of("")] == [52, 42, 37]


@pytest.mark.parametrize("text", ["", "{}", "[1]", '{"id": 3}', "no json", '"x"'])
def test_a_draft_that_cannot_be_understood_is_none(drafts: DraftFiles, tmp_path: Path, text: str):
    draft = replace(new_draft("", now=NOW), photos=(photo(FRONT),))
    drafts.keep(draft, [FRONT])
    (tmp_path / "photos" / "drafts" / draft.id / "draft.json").write_text(text, encoding="utf-8")
    assert drafts.find(draft.id, owner="") is None
    assert drafts.of("") == ()


def test_a_damaged_photo_is_told(drafts: DraftFiles, tmp_path: Path):
    draft = replace(new_draft("", now=NOW), photos=(photo(FRONT),))
    drafts.keep(draft, [FRONT])
    (file,) = (tmp_path / "photos" / "drafts" / draft.id).rglob(f"{draft.photos[0].sha256}*")
    file.write_bytes(b"rot")
    with pytest.raises(StoreError, match="the photo is damaged"):
        drafts.photo(draft, draft.photos[0])


def test_a_full_disk_is_told_and_leaves_the_draft_as_it_was(
    drafts: DraftFiles, monkeypatch: pytest.MonkeyPatch
):
    draft = replace(new_draft("", now=NOW), photos=(photo(FRONT),))
    drafts.keep(draft, [FRONT])

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(os, "replace", full)
        with pytest.raises(StoreError, match="the disk is full"):
            drafts.keep(replace(draft, spike=2))
    assert drafts.find(draft.id, owner="") == draft


def test_old_drafts_are_swept_and_young_ones_stay(drafts: DraftFiles, tmp_path: Path):
    old, young = (replace(new_draft("", now=NOW), photos=(photo(FRONT),)) for _ in range(2))
    for draft in (old, young):
        drafts.keep(draft, [FRONT])
    changed_s = NOW.timestamp()
    file = tmp_path / "photos" / "drafts" / old.id / "draft.json"
    os.utime(file, (changed_s, changed_s))
    left = tmp_path / "photos" / "drafts" / ("b" * 22)  # a kill before the file was written
    left.mkdir()
    os.utime(left, (changed_s, changed_s))
    os.utime(tmp_path / "photos" / "drafts" / young.id / "draft.json", (changed_s + 9,) * 2)
    drafts.sweep(now=NOW + timedelta(days=load_bench().draft_days, seconds=5))
    assert {path.name for path in (tmp_path / "photos" / "drafts").iterdir()} == {young.id}
    drafts.sweep(now=NOW + timedelta(days=load_bench().draft_days, seconds=5))


def test_sweeping_where_nothing_is_does_nothing(drafts: DraftFiles):
    drafts.sweep(now=NOW)


def test_both_kinds_of_store_keep_drafts_in_the_photo_folder(store: Store, tmp_path: Path):
    draft = replace(new_draft("", now=NOW), photos=(photo(FRONT),))
    store.drafts.keep(draft, [FRONT])
    (file,) = tmp_path.rglob("draft.json")
    assert file.parent.parent.name == "drafts"
    assert json.loads(file.read_text(encoding="utf-8"))["id"] == draft.id


def test_a_backup_holds_no_draft(sqlite_store: Store, tmp_path: Path):
    draft = replace(new_draft("", now=NOW), photos=(photo(FRONT),))
    sqlite_store.drafts.keep(draft, [FRONT])
    sqlite_store.back_up(tmp_path / "all.zip")
    content = (tmp_path / "all.zip").read_bytes()
    assert draft.id.encode() not in content
    assert draft.photos[0].sha256.encode() not in content
