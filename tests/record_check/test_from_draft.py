"""A check is recorded from its draft once; killing it on the way is tried in end_to_end."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest

from spikecheck.errors import StoreError, UnknownCrossError, UsageError
from spikecheck.record_check import record_check, record_draft, recorded_from
from spikecheck.store import open_store
from spikecheck.store.drafts import CheckDraft, DraftPhoto, RecordingBegun, new_draft
from tests.end_to_end.recording_process import check_of, photo_and_overlay
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from spikecheck.store import Store

CROSS = "W26-014"
PHOTO, OVERLAY = photo_and_overlay(1)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(str(tmp_path / "records")) as opened:
        opened.plans.add(planned(CROSS, "Ferra", "Olmo"))
        yield opened


@pytest.fixture
def draft(store: Store) -> CheckDraft:
    photo = DraftPhoto("photo.jpg", hashlib.sha256(PHOTO).hexdigest())
    made = replace(new_draft("Ida", now=datetime.now(UTC)), photos=(photo,))
    store.drafts.keep(made, [PHOTO])
    return made


def record(store: Store, draft: CheckDraft, *, cross: str = CROSS):
    return record_draft(
        store, draft, check_of(PHOTO), cross=cross, spike=3, by="Ida",
        photos=[PHOTO], overlays=[OVERLAY],
    )  # fmt: skip


def test_the_record_takes_the_place_of_the_draft(store: Store, draft: CheckDraft):
    check = record(store, draft)
    assert store.checks(CROSS, 3) == (check,)
    assert store.drafts.of("Ida") == ()
    with pytest.raises(UsageError, match="was recorded or left out elsewhere"):
        record(store, draft)
    assert len(store.checks(CROSS, 3)) == 1


def test_what_cannot_be_recorded_stays_a_draft(store: Store, draft: CheckDraft):
    with pytest.raises(UnknownCrossError):
        record(store, draft, cross="W26-999")
    assert store.drafts.find(draft.id, owner="Ida") == draft
    assert record(store, draft).spike == 3


def test_a_record_whose_end_was_not_seen_is_found_and_not_made_again(
    store: Store, draft: CheckDraft, monkeypatch: pytest.MonkeyPatch
):
    def lost(_: str) -> None:
        raise StoreError("the folder cannot be reached")

    with monkeypatch.context() as broken:
        broken.setattr(store.drafts, "remove", lost)
        with pytest.raises(StoreError):
            record(store, draft)
    kept = store.drafts.find(draft.id, owner="Ida")
    assert kept is not None
    assert recorded_from(store, kept) == store.checks(CROSS, 3)[0]
    assert record(store, draft) == store.checks(CROSS, 3)[0]
    assert len(store.checks(CROSS, 3)) == 1


def test_an_earlier_check_of_the_same_photos_is_another_one(store: Store, draft: CheckDraft):
    earlier = record_check(
        store, check_of(PHOTO), cross=CROSS, spike=3, by="Bo", photos=[PHOTO], overlays=[OVERLAY]
    )
    begun = replace(draft, recording=RecordingBegun(CROSS, 3, earlier.id))
    assert recorded_from(store, begun) is None
    assert record(store, draft).id > earlier.id


def test_nothing_was_recorded_from_a_draft_that_was_only_kept(store: Store, draft: CheckDraft):
    assert recorded_from(store, draft) is None
