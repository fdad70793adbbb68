"""Which spikes the gallery shows, and that it asks the records no more than it must."""

from __future__ import annotations

import json
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import TYPE_CHECKING

from spikecheck.supervision import decide, read_again
from spikecheck.supervision.gallery import ON_A_PAGE, Gallery
from spikecheck.supervision.gallery_choice import (
    CheckFacts,
    GalleryChoice,
    Stage,
    choose,
    hidden_spikes,
)
from spikecheck.vocabulary import Verdict
from spikecheck.vocabulary.audit_steps import AuditDecision, Leftovers
from tests.audited_session import PEOPLE, SESSION

if TYPE_CHECKING:
    import pytest

    from spikecheck.audit import SpikeName
    from spikecheck.store import Store
    from tests.audited_session import Built


def names(store: Store, **choice: object) -> set[tuple[str, int]]:
    chosen = Gallery(store).chosen(SESSION, GalleryChoice(**choice))  # type: ignore[arg-type]
    return {(one.cross, one.spike) for one in chosen}


def test_pages_hold_every_spike_once_and_no_number_is_beyond_the_last(store: Store, built: Built):
    gallery = Gallery(store)
    pages = [gallery.page(SESSION, GalleryChoice(), number) for number in (0, 1, 99)]
    shown = [(one.cross, one.spike) for page in pages[:2] for one in page.records]
    assert shown == sorted(built.names)
    assert (pages[0].first, pages[1].first, pages[0].total) == (1, ON_A_PAGE + 1, 30)
    assert pages[2] == pages[1]
    assert all(len(photos) == 2 for page in pages for photos in page.photos)


def test_photos_of_the_pages_ahead_are_those_that_come(store: Store):
    gallery, choice = Gallery(store), GalleryChoice()
    pages = [gallery.page(SESSION, choice, number, size=7) for number in (1, 2)]
    coming = {photo.sha256 for page in pages for each in page.photos for photo in each}
    ahead = gallery.photos_ahead(SESSION, choice, 1, pages=2, size=7)
    assert len(ahead) == 28
    assert {photo.sha256 for photo in ahead} == coming
    assert len(gallery.photos_ahead(SESSION, choice, 4, pages=2, size=7)) == 4  # the last two


def test_a_choice_is_what_the_records_say(store: Store, built: Built):
    records = store.spikes.in_session(SESSION)
    for field, value, fits in (
        ("verdict", Verdict.REVIEW, lambda one: one.verdict is Verdict.REVIEW),
        ("cross", built.names[12][0], lambda one: one.cross == built.names[12][0]),
        ("person", "Bo", lambda one: "Bo" in {one.checked_by, one.emasculated_by}),
        ("overridden", True, lambda one: one.overridden),
        ("overridden", False, lambda one: not one.overridden),
    ):
        expected = {(one.cross, one.spike) for one in records if fits(one)}
        assert names(store, **{field: value}) == expected
        assert expected


def test_risk_and_place_come_from_the_results(store: Store):
    risk, florets = {}, {}
    for one in store.spikes.in_session(SESSION):
        assert one.check is not None
        result = json.loads(store.check(one.check).result)
        risk[one.cross, one.spike] = result["risk"]["p_leftover"]
        florets[one.cross, one.spike] = [
            floret for photo in result["photos"] for floret in photo["florets"]
            if floret["status"] == "anther"
        ]  # fmt: skip
    assert names(store, risk_least=0.3) == {name for name, p in risk.items() if p >= 0.3}
    assert names(store, risk_most=0.05) == {name for name, p in risk.items() if p <= 0.05}
    left = {name for name, found in florets.items() if any(f["side"] == "left" for f in found)}
    assert names(store, place="left") == left
    low = {name for name, found in florets.items() if any(f["position"] < 1 / 3 for f in found)}
    assert names(store, place="basal") == low
    assert left | low
    by_risk = Gallery(store).chosen(SESSION, GalleryChoice(by_risk=True))
    shown = [risk[one.cross, one.spike] for one in by_risk]
    assert shown == sorted(shown, reverse=True)


def test_a_spike_of_unknown_risk_comes_first_and_is_never_left_out_by_its_risk(store: Store):
    records = store.spikes.in_session(SESSION)[:3]
    unchecked = replace(records[0], check=None)
    risks = ((records[1], 0.9), (records[2], None))
    facts = {one.check: CheckFacts(risk, frozenset()) for one, risk in risks}
    several = (records[1], unchecked, records[2])
    by_risk = choose(several, GalleryChoice(by_risk=True), lambda _checks: facts)
    assert by_risk == (unchecked, records[2], records[1])
    risky = choose(several, GalleryChoice(risk_least=0.95), lambda _checks: facts)
    assert risky == (unchecked, records[2])
    assert choose(several, GalleryChoice(place="left"), lambda _checks: facts) == ()


def test_what_waits_for_its_second_reading_is_hidden(store: Store, drawn: tuple[SpikeName, ...]):
    gallery = Gallery(store)
    waiting = {(name.cross, name.spike) for name in drawn}
    page = gallery.page(SESSION, GalleryChoice(), 0)
    assert page.hidden == waiting == hidden_spikes(gallery.records(SESSION))
    told = {one.check for one in page.records if (one.cross, one.spike) in waiting}
    assert not told & set(page.facts)
    for choice in ({"verdict": Verdict.PASS}, {"overridden": False}, {"risk_most": 0.9},
                   {"by_risk": True}, *({"person": one} for one in PEOPLE)):  # fmt: skip
        assert not names(store, **choice) & waiting
    assert names(store, stage=Stage.UNREAD) == waiting


def test_stages_follow_the_audit(store: Store, drawn: tuple[SpikeName, ...]):
    first, second, *_rest = drawn
    read_again(store, first, Leftovers.UNSURE, by="Gro")
    read_again(store, second, Leftovers.NONE, by="Gro")
    decide(store, first, AuditDecision.SENT_BACK, by="Gro", reason="a tip")
    told = {(first.cross, first.spike)}
    assert names(store, stage=Stage.SENT_BACK) == names(store, stage=Stage.DISAGREE) == told
    assert names(store, stage=Stage.UNDECIDED) == {(second.cross, second.spike)}
    assert len(names(store, stage=Stage.DRAWN)) == len(drawn)


def test_records_are_read_again_only_when_the_history_grew(
    store: Store, drawn: tuple[SpikeName, ...], monkeypatch: pytest.MonkeyPatch
):
    reads = []
    real = store.spikes.in_session
    monkeypatch.setattr(
        store.spikes, "in_session", lambda session: reads.append(session) or real(session)
    )
    gallery = Gallery(store)
    for number in (0, 1, 0):
        gallery.page(SESSION, GalleryChoice(by_risk=True), number)
    assert len(reads) == 1
    read_again(store, drawn[0], Leftovers.NONE, by="Gro")
    assert drawn[0].spike in {one.spike for one in gallery.records(SESSION)}
    assert len(hidden_spikes(gallery.records(SESSION))) == len(drawn) - 1
    assert len(reads) >= 2


def test_results_are_read_once_for_good(store: Store, monkeypatch: pytest.MonkeyPatch):
    asked: list[int] = []
    real = store.results
    monkeypatch.setattr(store, "results", lambda numbers: asked.extend(numbers) or real(numbers))
    gallery = Gallery(store)
    gallery.page(SESSION, GalleryChoice(), 0)
    assert len(asked) == ON_A_PAGE  # not those of the whole session
    gallery.page(SESSION, GalleryChoice(), 0)
    assert len(asked) == ON_A_PAGE
    gallery.chosen(SESSION, GalleryChoice(by_risk=True))
    assert len(asked) == len(set(asked)) == 30


def test_pages_turned_at_the_same_time_are_those_turned_alone(
    store: Store, drawn: tuple[SpikeName, ...]
):
    """One gallery serves every visitor, while a second reader records."""
    gallery = Gallery(store)
    choice = GalleryChoice(by_risk=True)

    def turn(number: int) -> tuple[str, ...]:
        if number < len(drawn):
            read_again(store, drawn[number], Leftovers.NONE, by="Gro")
        page = gallery.page(SESSION, choice, number % 2)
        assert {one.check for one in page.records} == set(page.facts)
        assert not {(one.cross, one.spike) for one in page.records} & page.hidden
        return tuple(f"{one.cross}/{one.spike}" for one in page.records)

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(turn, range(24)))
    assert not hidden_spikes(gallery.records(SESSION))
    alone = Gallery(store)
    for number in (0, 1):
        assert gallery.page(SESSION, choice, number) == alone.page(SESSION, choice, number)
