"""One spike from photo to record, without the page."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING

import pytest

import draft
from draft import Draft
from spikecheck.bookkeeping.bench import photos_most
from spikecheck.errors import UsageError
from spikecheck.record_check import record_draft
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Verdict
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import RecordedCheck, Store

    Picture = Callable[[int], bytes]


@pytest.fixture
def judged(png: Picture, answer_review: None, store: Store) -> Draft:
    """A draft with a verdict, and the cross SPICA-7."""
    store.plans.add(planned("SPICA-7", "Morgenrot", "Tiefland 3"))
    made = Draft()
    made.add_photo(png(1), file="a.png", thresholds=load_thresholds())
    made.judge(finder=None, thresholds=load_thresholds())  # type: ignore[arg-type]
    return made


def test_two_taps_at_the_same_moment_record_one_check(
    judged: Draft, store: Store, monkeypatch: pytest.MonkeyPatch
):
    begun = threading.Event()

    def slow(*args: object, **kwargs: object) -> RecordedCheck:
        begun.set()
        threading.Event().wait(0.2)  # long enough for the second tap to arrive
        return record_draft(*args, **kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr(draft, "record_draft", slow)

    def tap() -> int:
        return judged.record(store, cross="SPICA-7", spike=1, by="Ilse").id

    with ThreadPoolExecutor(2) as pool:
        first = pool.submit(tap)
        assert begun.wait(10)
        second = pool.submit(tap)
        assert first.result() == second.result()
    assert len(store.checks("SPICA-7")) == 1


def test_a_second_tap_on_an_override_adds_nothing(judged: Draft, store: Store):
    check = judged.record(store, cross="SPICA-7", spike=1, by="Ilse")
    for _ in range(2):
        judged.override(store, verdict=Verdict.PASS, by="Ilse", reason="palea", earlier=0)
    assert len(store.check(check.id).overrides) == 1
    judged.override(store, verdict=Verdict.REVIEW, by="Ilse", reason="no, an anther", earlier=1)
    assert store.check(check.id).standing_verdict is Verdict.REVIEW


def test_a_verdict_does_not_outlive_a_change_made_while_it_was_reached(
    png: Picture, answer_pass: None, monkeypatch: pytest.MonkeyPatch, store: Store
):
    made = Draft()
    made.add_photo(png(1), file="a.png", thresholds=load_thresholds())
    answer = draft.check_photos

    def meanwhile(*args: object, **kwargs: object) -> object:
        made.add_photo(png(2), file="b.png", thresholds=load_thresholds())
        return answer(*args, **kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr(draft, "check_photos", meanwhile)
    made.judge(finder=None, thresholds=load_thresholds())  # type: ignore[arg-type]
    assert made.judged is None


def test_refuses_what_comes_out_of_order(judged: Draft, store: Store, png: Picture):
    with pytest.raises(UsageError, match=r"there is no verdict to record\. Check the photos"):
        Draft().record(store, cross="SPICA-7", spike=1, by="Ilse")
    with pytest.raises(UsageError, match=r"the check is not recorded yet\. Record it first"):
        judged.override(store, verdict=Verdict.PASS, by="Ilse", reason="x", earlier=0)
    judged.record(store, cross="SPICA-7", spike=1, by="Ilse")
    with pytest.raises(UsageError, match="this check is recorded"):
        judged.add_photo(png(2), file="b.png", thresholds=load_thresholds())
    with pytest.raises(UsageError, match="this check is recorded"):
        judged.drop_photo(judged.photos[0].sha256)


def test_takes_no_more_photos_than_memory_is_meant_for(png: Picture):
    made = Draft()
    for seed in range(photos_most()):
        made.add_photo(png(seed), file=f"{seed}.png", thresholds=load_thresholds())
    with pytest.raises(UsageError, match=r"late\.png: 8 photos are enough for one spike"):
        made.add_photo(png(99), file="late.png", thresholds=load_thresholds())
