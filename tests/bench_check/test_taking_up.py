"""Who comes back finds the check as it was left, recorded or not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from spikecheck.bench_check import Draft, draft, draft_of_check, draft_on_disk
from spikecheck.errors import StoreError, UsageError
from spikecheck.record_check import record_draft
from spikecheck.thresholds import load_thresholds

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import RecordedCheck, Store
    from spikecheck.store.drafts import CheckDraft

    Picture = Callable[[int], bytes]


@pytest.fixture
def left(png: Picture, answer_review: None, store: Store) -> Draft:
    """A draft of two photos with a verdict, kept on disk."""
    made = Draft()
    for seed in (1, 2):
        made.add_photo(png(seed), file=f"{seed}.png", thresholds=load_thresholds())
    made.judge(finder=None, thresholds=load_thresholds())  # type: ignore[arg-type]
    keep(made, store)
    return made


def keep(made: Draft, store: Store) -> CheckDraft:
    return made.keep(store, owner="Ilse", by="Ilse", cross="SPICA-7", spike=3)


def on_disk(store: Store) -> CheckDraft:
    (kept,) = store.drafts.of("Ilse")
    return kept


def again(store: Store) -> Draft:
    return draft_on_disk(store, on_disk(store), thresholds=load_thresholds())


def test_photos_and_choices_are_found_again_and_the_verdict_is_asked_anew(
    left: Draft, store: Store
):
    found = again(store)
    assert found.photos == left.photos
    assert (found.judged, found.recorded) == (None, None)
    assert (on_disk(store).cross, on_disk(store).spike, on_disk(store).by) == ("SPICA-7", 3, "Ilse")


def test_keeping_again_goes_on_with_the_same_draft(left: Draft, store: Store, png: Picture):
    before = on_disk(store)
    left.drop_photo(left.photos[0].sha256)
    left.add_photo(png(3), file="3.png", thresholds=load_thresholds())
    assert keep(left, store).id == before.id
    assert [photo.file for photo in again(store).photos] == ["2.png", "3.png"]


def test_a_photo_that_is_not_whole_any_more_is_left_out(
    left: Draft, store: Store, monkeypatch: pytest.MonkeyPatch
):
    read = store.drafts.photo

    def damaged(kept, photo):
        if photo.file == "1.png":
            raise StoreError("is damaged", where=photo.file)
        return read(kept, photo)

    monkeypatch.setattr(store.drafts, "photo", damaged)
    assert [photo.file for photo in again(store).photos] == ["2.png"]


def stopped_in_between(left: Draft, store: Store, monkeypatch: pytest.MonkeyPatch) -> RecordedCheck:
    """Record, but stop before the draft is removed."""
    with monkeypatch.context() as broken:
        broken.setattr(store.drafts, "remove", lambda _id: None)
        return left.record(store, cross="SPICA-7", spike=3, by="Ilse", owner="Ilse")


def test_what_was_recorded_before_a_stop_is_known_as_recorded(
    left: Draft, store: Store, monkeypatch: pytest.MonkeyPatch
):
    check = stopped_in_between(left, store, monkeypatch)
    found = again(store)
    assert found.recorded == check
    assert store.drafts.of("Ilse") == ()
    with pytest.raises(UsageError, match="this check is recorded"):
        found.drop_photo(found.photos[0].sha256)


def test_other_photos_take_back_the_note_of_what_was_about_to_be_recorded(
    left: Draft, store: Store, monkeypatch: pytest.MonkeyPatch
):
    stopped_in_between(left, store, monkeypatch)
    assert on_disk(store).recording is not None
    left.recorded = None  # as in another tab, which knows nothing of the record
    assert keep(left, store).recording is not None
    left.drop_photo(left.photos[0].sha256)
    assert keep(left, store).recording is None


def test_a_check_is_kept_on_disk_before_it_is_recorded(
    png: Picture, answer_pass: None, store: Store, monkeypatch: pytest.MonkeyPatch
):
    made = Draft()
    made.add_photo(png(1), file="1.png", thresholds=load_thresholds())
    made.judge(finder=None, thresholds=load_thresholds())  # type: ignore[arg-type]
    seen: list[CheckDraft] = []

    def looked(store_, kept, *args, **kwargs):
        seen.append(on_disk(store))
        return record_draft(store_, kept, *args, **kwargs)

    monkeypatch.setattr(draft, "record_draft", looked)
    made.record(store, cross="SPICA-7", spike=1, by="Ilse", owner="Ilse")
    assert [[photo.file for photo in one.photos] for one in seen] == [["1.png"]]
    assert store.drafts.of("Ilse") == ()


def test_a_recorded_check_is_found_with_its_photos(left: Draft, store: Store):
    check = left.record(store, cross="SPICA-7", spike=3, by="Ilse", owner="Ilse")
    found = draft_of_check(store, check, thresholds=load_thresholds())
    assert found.photos == left.photos
    assert found.recorded == check
    assert found.record(store, cross="SPICA-7", spike=9, by="Bo") == check
    assert len(store.checks("SPICA-7")) == 1


def test_a_recorded_check_whose_photo_is_gone_is_not_shown_without_it(
    left: Draft, store: Store, monkeypatch: pytest.MonkeyPatch
):
    check = left.record(store, cross="SPICA-7", spike=3, by="Ilse", owner="Ilse")

    def gone(_photo):
        raise StoreError("is missing")

    monkeypatch.setattr(store, "photo", gone)
    with pytest.raises(StoreError, match="is missing"):
        draft_of_check(store, check, thresholds=load_thresholds())
