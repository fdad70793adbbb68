"""The records: crosses with counts, the checks of one cross, what people decided."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import streamlit as st

from spikecheck.bench_check import Draft
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Verdict

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from spikecheck.store import RecordedCheck, Store
    from visitor import Visitor

    Picture = Callable[[int], bytes]


def file_check(store: Store, png: Picture, *, spike: int, seed: int = 1) -> RecordedCheck:
    made = Draft()
    made.add_photo(png(seed), file=f"{seed}.png", thresholds=load_thresholds())
    made.judge(finder=None, thresholds=load_thresholds())  # type: ignore[arg-type]
    return made.record(store, cross="SPICA-7", spike=spike, by="Ilse")


def test_a_cross_without_checks_leads_nowhere(store: Store, visitor: Visitor):
    visitor.go_to("records")
    assert "Spikes checked 0 · pass 0 · review 0" in visitor.said()
    assert "Show its checks" not in visitor.labels()


def test_crosses_come_with_their_counts(
    visitor: Visitor, store: Store, png: Picture, answer_review: None
):
    file_check(store, png, spike=1)
    check = file_check(store, png, spike=2)
    store.override(check.id, "Ilse", "palea", Verdict.PASS)
    visitor.go_to("records")
    assert "SPICA-7: Morgenrot / Tiefland 3" in visitor.said()
    assert "Spikes checked 2 · pass 1 · review 1" in visitor.said()


def test_checks_come_newest_first_with_reasons_overrides_and_overlay(
    visitor: Visitor, store: Store, png: Picture, answer_review: None
):
    old = file_check(store, png, spike=1)
    new = file_check(store, png, spike=2)
    store.override(old.id, "Ilse", "It was palea", Verdict.PASS)
    visitor.go_to("records")
    visitor.page.button("open-SPICA-7").click().run()
    text = visitor.said()
    assert text.index(f"check {new.id}") < text.index(f"check {old.id}")
    assert "1. Green anther in floret L2." in text
    assert "It was palea" in text
    assert "Decided by hand; the photos gave: review" in text
    assert not visitor.page.image
    visitor.page.toggle(f"photos-{new.id}").set_value(True).run()
    assert len(visitor.page.image) == 1
    visitor.page.button[0].click().run()
    assert "Spikes checked 2" in visitor.said()


def test_many_checks_come_a_few_at_a_time(
    visitor: Visitor, store: Store, png: Picture, answer_review: None
):
    for spike in range(1, 13):
        file_check(store, png, spike=spike)
    visitor.go_to("records")
    visitor.page.button("open-SPICA-7").click().run()
    assert visitor.said().count(", check ") == 10
    visitor.press("Show older checks (2 more)")
    assert visitor.said().count(", check ") == 12


def test_a_damaged_overlay_is_told_and_the_rest_is_shown(
    visitor: Visitor, store: Store, png: Picture, answer_review: None, tmp_path: Path
):
    check = file_check(store, png, spike=1)
    (overlay,) = tmp_path.rglob(f"*{check.photos[0].overlay_sha256}*")
    overlay.chmod(0o600)
    overlay.write_bytes(b"damaged")
    visitor.go_to("records")
    visitor.page.button("open-SPICA-7").click().run()
    visitor.page.toggle(f"photos-{check.id}").set_value(True).run()
    assert not visitor.page.exception
    assert not visitor.page.image
    assert "1. Green anther in floret L2." in visitor.said()


@pytest.mark.parametrize("screen", ["check", "agenda", "spikes", "sessions", "records"])
def test_records_that_cannot_be_opened_give_one_line(
    visitor: Visitor, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, screen: str
):
    monkeypatch.setenv("SPIKECHECK_STORE", str(tmp_path / "no" / "such" / "folder"))
    st.cache_resource.clear()
    visitor.go_to(screen)
    assert "the folder above it does not exist" in visitor.said()
