from __future__ import annotations

import hashlib
from dataclasses import FrozenInstanceError, replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest
import sqlalchemy as sa

from spikecheck.errors import StoreError, UnknownCrossError, UsageError
from spikecheck.store import Store
from spikecheck.store.spike_history import SpikeHistory
from spikecheck.vocabulary import Verdict
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from spikecheck.store import NewCheck

    MakeCheck = Callable[..., NewCheck]


@pytest.fixture(autouse=True)
def _cross(store: Store) -> None:
    store.plans.add(planned("W26-014", "Ferra", "Olmo"))


def test_check_comes_back_whole(store: Store, make_check: MakeCheck):
    check = make_check(faces=2)
    recorded = store.add_check(check, cross=" W26-014", spike=7, by="Ida Lind ")
    assert (recorded.cross, recorded.spike, recorded.by) == ("W26-014", 7, "Ida Lind")
    assert recorded.at.tzinfo is UTC
    assert abs((datetime.now(UTC) - recorded.at).total_seconds()) < 60
    assert recorded.verdict is recorded.standing_verdict is Verdict.REVIEW
    assert recorded.result == check.result
    assert recorded.model == check.model
    assert recorded.thresholds_sha256 == check.thresholds_sha256
    assert recorded.software_version == check.software_version
    assert recorded.overrides == ()
    assert [photo.file_name for photo in recorded.photos] == ["face 0.jpg", "face 1.jpg"]
    for kept, given in zip(recorded.photos, check.photos, strict=True):
        assert kept.sha256 == hashlib.sha256(given.content).hexdigest()
        assert store.photo(kept) == given.content
        assert store.overlay(kept) == given.overlay
    assert store.check(recorded.id) == recorded
    with pytest.raises(FrozenInstanceError):
        recorded.verdict = Verdict.PASS  # type: ignore[misc]


def test_checks_of_a_cross_come_newest_first(store: Store, make_check: MakeCheck):
    store.plans.add(planned("other", "Tarn", "Olmo"))
    numbers = [
        store.add_check(make_check(), cross="W26-014", spike=spike, by="Ida").id
        for spike in (1, 2, 1)
    ]
    store.add_check(make_check(), cross="other", spike=1, by="Ida")
    found = store.checks("W26-014")
    assert [check.id for check in found] == numbers[::-1]
    assert [check.spike for check in found] == [1, 2, 1]


def test_unknown_cross_keeps_nothing(
    store: Store, kept_photos: Callable[[], list[Path]], make_check: MakeCheck
):
    with pytest.raises(UnknownCrossError, match=r"Did you mean W26-014\?"):
        store.add_check(make_check(), cross="W26-041", spike=1, by="Ida")
    assert kept_photos() == []


@pytest.mark.parametrize(
    ("spike", "by", "message"),
    [
        (0, "Ida", "spikes are numbered from 1, got 0. Give its number"),
        (-3, "Ida", "spikes are numbered from 1, got -3"),
        (2**31, "Ida", "spikes are numbered from 1, got 2147483648"),
        (1, " ", "the name of who checked is empty. Give one"),
        (1, "I\0da", "the name of who checked holds the control character U[+]0000"),
        (1, "x" * 201, "the name of who checked has 201 characters"),
    ],
)
def test_bad_spike_or_name_keeps_nothing(
    store: Store,
    kept_photos: Callable[[], list[Path]],
    make_check: MakeCheck,
    *,
    spike: int,
    by: str,
    message: str,
):
    with pytest.raises(UsageError, match=message):
        store.add_check(make_check(), cross="W26-014", spike=spike, by=by)
    assert kept_photos() == []
    assert store.checks("W26-014") == ()


def test_check_without_photo_is_refused(store: Store, make_check: MakeCheck):
    with pytest.raises(UsageError, match=r"a check needs a photo\. Give at least one"):
        store.add_check(replace(make_check(), photos=()), cross="W26-014", spike=1, by="Ida")


@pytest.mark.parametrize("number", [0, -1, 1, 10**30])
def test_unknown_check_is_told(store: Store, number: int):
    message = f"no check {number} is recorded. Look its number up at its cross"
    with pytest.raises(StoreError, match=message):
        store.check(number)
    with pytest.raises(StoreError, match=message):
        store.override(number, "Bo", "reason")


def test_overrides_only_grow(store: Store, make_check: MakeCheck):
    check = store.add_check(make_check(), cross="W26-014", spike=1, by="Ida")
    first = store.override(check.id, "Bo Ek", "the anther is a shadow\r\nlooked twice")
    second = store.override(check.id, "Ida", "not so sure", Verdict.REVIEW)
    assert first.verdict is second.verdict is Verdict.REVIEW
    assert first.standing_verdict is Verdict.PASS
    assert second.standing_verdict is Verdict.REVIEW
    assert [override.by for override in second.overrides] == ["Bo Ek", "Ida"]
    assert second.overrides[0].reason == "the anther is a shadow\nlooked twice"
    assert second.overrides[0] == first.overrides[0]
    assert second.overrides[0].at <= second.overrides[1].at
    assert store.checks("W26-014") == (second,)


def test_history_has_no_way_back():
    public = {name for name in vars(Store) if not name.startswith("_")}
    of_spikes = {name for name in vars(SpikeHistory) if not name.startswith("_")}
    assert of_spikes == {
        "add", "add_all", "add_as_it_stands", "all", "audit_entries", "audited", "correct",
        "entries", "every_entry", "give_tags", "in_session", "of_cross", "of_tag", "one", "open",
        "redrawn_entries",
    }  # fmt: skip
    assert public == {
        "add_check", "back_up", "check", "checks", "close", "cross", "crosses",
        "head", "identity", "overlay", "override", "overrides_of", "photo", "photos_of", "results",
        "spikes_of_photos", "verify",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("by", "reason", "message"),
    [
        ("Bo", "", "the reason of the override is empty. Give one"),
        ("Bo", " \n ", "the reason of the override is empty. Give one"),
        ("", "shadow", "the name of who overrides is empty. Give one"),
        ("Bo", "a\x07b", "the reason of the override holds the control character U[+]0007"),
        ("Bo", "x" * 4001, "the reason of the override has 4001 characters, the most is 4000"),
    ],
)
def test_override_needs_a_name_and_a_reason(
    store: Store, make_check: MakeCheck, by: str, reason: str, message: str
):
    check = store.add_check(make_check(), cross="W26-014", spike=1, by="Ida")
    with pytest.raises(UsageError, match=message):
        store.override(check.id, by, reason)
    assert store.check(check.id).overrides == ()


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("C:\\phone\\a b.jpg", "a b.jpg"),
        ("", "photo"),
        ("/", "photo"),
        ("x" * 300 + ".jpeg", "x" * 250 + ".jpeg"),
        ("a\n\udcff.jpg", "a\N{REPLACEMENT CHARACTER}\N{REPLACEMENT CHARACTER}.jpg"),
        ("穂.jpg", "穂.jpg"),
    ],
)
def test_file_name_is_kept_without_its_folder(
    store: Store, make_check: MakeCheck, given: str, kept: str
):
    check = make_check()
    check = replace(check, photos=(replace(check.photos[0], file_name=given),))
    recorded = store.add_check(check, cross="W26-014", spike=1, by="Ida")
    assert recorded.photos[0].file_name == kept


def test_spike_added_by_another_process_meanwhile_is_used(store: Store, make_check: MakeCheck):
    """As in a database that lets two write at once: the spike appears after it was looked for."""

    def add_spike(connection: sa.Connection, _name: str) -> None:
        connection.exec_driver_sql("INSERT INTO spikes (cross_id, number) VALUES ('W26-014', 5)")

    sa.event.listen(store._database.engine, "savepoint", add_spike)
    recorded = store.add_check(make_check(), cross="W26-014", spike=5, by="Ida")
    assert store.checks("W26-014") == (recorded,)
    assert recorded.spike == 5
    assert store.crosses()[0].spikes == 1
