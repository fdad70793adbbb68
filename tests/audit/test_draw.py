"""The draw can be repeated, leaves nobody out, and favours nobody."""

from __future__ import annotations

import hashlib
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chisquare

from spikecheck.audit.draw import Strata, allocate, draw_sample, ticket
from spikecheck.audit.spikes import SpikeName, bagged_lot, name_of
from spikecheck.errors import UsageError
from spikecheck.vocabulary.verdict import Verdict
from tests.audit.records import HEAD, NOON, SESSION, spike

LOT = [spike(number, emasculated_by="Ida" if number % 3 else "Ole") for number in range(1, 61)]


def drawn(lot=LOT, sample=12, head=HEAD, strata=Strata.NONE):
    return draw_sample(lot, sample, session=SESSION, chain_head=head, strata=strata)


def test_the_stated_method_worked_by_hand():
    """SHA-256 of the text as it stands, and the lowest of them."""
    texts = {k: f'["bench-2","{HEAD}","C1",{k}]' for k in range(1, 61)}
    tickets = {k: hashlib.sha256(text.encode()).hexdigest() for k, text in texts.items()}
    assert ticket(SESSION, HEAD, SpikeName("C1", 7)) == tickets[7]
    lowest = sorted(tickets, key=lambda k: tickets[k])[:12]
    assert [name.spike for name in drawn().drawn] == sorted(lowest)


@given(st.permutations(LOT), st.sampled_from(Strata))
def test_the_order_of_the_lot_does_not_matter(lot, strata):
    assert drawn(lot, strata=strata) == drawn(strata=strata)


@given(st.integers(1, 60), st.sampled_from(Strata))
def test_so_many_without_replacement_from_the_lot(sample, strata):
    found = drawn(sample=sample, strata=strata)
    assert len(found.drawn) == len(set(found.drawn)) == sample
    assert set(found.drawn) <= {name_of(record) for record in LOT}
    assert found.lot == 60


@given(st.integers(1, 59))
def test_a_larger_sample_holds_the_smaller(sample):
    assert set(drawn(sample=sample).drawn) < set(drawn(sample=sample + 1).drawn)


def test_another_head_or_session_draws_others():
    assert drawn(head="cd" * 32).drawn != drawn().drawn
    moved = [spike(number, session="bench-3") for number in range(1, 61)]
    other = draw_sample(moved, 12, session="bench-3", chain_head=HEAD)
    assert other.drawn != drawn().drawn


def test_nobody_is_favoured():
    """Over 4,000 heads every spike is drawn alike; drawing without replacement scatters less than
    the chi-square assumes, so the test is on the safe side."""
    lot = LOT[:20]
    counts = Counter(
        name.spike for head in range(4_000) for name in drawn(lot, 5, head=f"{head:064x}").drawn
    )
    assert len(counts) == 20
    assert chisquare(list(counts.values())).pvalue > 1e-4


def test_parted_by_technician_each_has_their_share():
    found = drawn(strata=Strata.TECHNICIAN)
    assert [(part.name, part.lot, len(part.drawn)) for part in found.parts] == [
        ("Ida", 40, 8),
        ("Ole", 20, 4),
    ]
    assert all(name.spike % 3 == 0 for name in found.parts[1].drawn)


def test_parted_by_verdict():
    verdicts = [Verdict.PASS] * 8 + [Verdict.REVIEW] + [None]
    lot = [spike(k, verdict=verdict) for k, verdict in enumerate(verdicts, start=1)]
    found = drawn(lot, 5, strata=Strata.VERDICT)
    assert {part.name: len(part.drawn) for part in found.parts} == {
        "pass": 3, "review": 1, "unchecked": 1,
    }  # fmt: skip


@given(st.dictionaries(st.text(max_size=3), st.integers(1, 40), min_size=1), st.data())
def test_places_of_the_strata(sizes, data):
    total = sum(sizes.values())
    sample = data.draw(st.integers(1, total))
    places = allocate(sizes, sample)
    assert sum(places.values()) == sample
    assert all(0 <= places[part] <= sizes[part] for part in sizes)
    assert sample < len(sizes) or all(places.values())
    if all(sample * size >= total for size in sizes.values()):
        # proportion alone gives each a place: largest remainder keeps the quota
        assert all(abs(places[p] - sample * sizes[p] / total) < 1 for p in sizes)


def test_largest_remainder():
    """Quotas 4.7, 3.3 and 2: the first has the larger remainder."""
    assert allocate({"a": 47, "b": 33, "c": 20}, 10) == {"a": 5, "b": 3, "c": 2}


def test_the_lot_is_what_hangs_in_bags():
    records = [
        spike(5), spike(2), spike(3, bagged_at=None), spike(4, session="bench-3"),
        spike(6, given_up_at=NOON, given_up_reason="broken"), spike(7, harvested_at=NOON),
    ]  # fmt: skip
    assert [record.spike for record in bagged_lot(records, SESSION)] == [2, 5]


@pytest.mark.parametrize(
    ("lot", "sample", "head"),
    [
        (LOT, 0, HEAD),
        (LOT, 61, HEAD),
        ([], 1, HEAD),
        ([spike(1), spike(1)], 1, HEAD),
        ([spike(1), spike(2, session="bench-3")], 1, HEAD),
        (LOT, 5, ""),
    ],
)
def test_draws_that_cannot_be_are_refused(lot, sample, head):
    with pytest.raises(UsageError):
        drawn(lot, sample, head=head)
