"""Plans: crosses with their parents, all of a file or none of it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from spikecheck.errors import DuplicateCrossError, PedigreeError, StepError, StoreError, UsageError
from spikecheck.store.plan_writer import PLANNED_AT_ONCE
from spikecheck.vocabulary import Step
from spikecheck.vocabulary.plan import PlannedCross, PlannedParent
from spikecheck.vocabulary.steps import Bagged, Emasculated, Pollinated

if TYPE_CHECKING:
    from spikecheck.store import Store

FERRA = PlannedParent("Ferra", "IN 113", "Aldo/Bruma", "House 2, pot 7")
OLMO = PlannedParent("Olmo")
PLANNED = PlannedCross("C-1", FERRA, OLMO, "rust", 30, "durum", "Summer", "early\nshort")


def rows(*planned: PlannedCross) -> list[tuple[str, PlannedCross]]:
    return [(f"plan.csv, line {line}", one) for line, one in enumerate(planned, start=2)]


def test_cross_comes_back_with_everything(store: Store):
    cross = store.plans.add(PLANNED, by="Ida")
    assert store.cross("C-1") == cross
    assert (cross.purpose, cross.seeds_wanted, cross.crop, cross.project) == (
        "rust", 30, "durum", "Summer",
    )  # fmt: skip
    ferra = store.plans.parent("Ferra")
    assert (ferra.accession, ferra.pedigree, ferra.place) == (
        "IN 113", "Aldo/Bruma", "House 2, pot 7",
    )  # fmt: skip
    assert [one.name for one in store.plans.parents()] == ["Ferra", "Olmo"]
    assert store.verify().faults == ()


def test_whole_plan_or_nothing(store: Store):
    good = [PlannedCross(f"C-{number}", FERRA, OLMO) for number in range(3)]
    bad = PlannedCross("C-1", FERRA, OLMO)
    selfed = PlannedCross("C-9", OLMO, OLMO)
    count, faults = store.plans.take_in(rows(*good, bad, selfed))
    assert count == 3
    twice, same = map(str, faults)
    assert twice == (
        "plan.csv, line 5: the cross C-1 comes twice. Take one of them out, or give it another id"
    )
    assert same.startswith("plan.csv, line 6: female and male are both Olmo. ")
    assert isinstance(faults[0], DuplicateCrossError)
    assert store.crosses() == ()
    assert store.plans.parents() == ()
    assert store.verify().faults == ()
    assert store.plans.take_in(rows(*good)) == (3, ())
    assert len(store.crosses()) == 3


def test_a_cross_that_comes_twice_far_apart_is_told_as_such(store: Store):
    many = [PlannedCross(f"C-{number}", FERRA, OLMO) for number in range(PLANNED_AT_ONCE + 1)]
    _, (fault,) = store.plans.take_in(rows(*many, many[0]))
    assert "the cross C-0 comes twice" in str(fault)
    assert store.plans.take_in(rows(*many)) == (len(many), ())
    _, (fault,) = store.plans.take_in(rows(many[0]))
    assert "the cross C-0 is recorded already" in str(fault)


def test_ids_that_differ_in_capitals_are_refused_within_a_plan_and_beside_what_is_there(
    store: Store,
):
    store.plans.add(PlannedCross("M-01", PlannedParent("Tarn"), OLMO))
    planned = [PlannedCross(name, FERRA, OLMO) for name in ("m-01", "Q-1", "q-1", "M-01", "R-1")]
    count, faults = store.plans.take_in(rows(*planned))
    assert count == 2
    assert [str(fault) for fault in faults] == [
        (
            "plan.csv, line 2: the cross m-01 differs from M-01 in capital letters alone. "
            "Use M-01, or give another id"
        ),
        (
            "plan.csv, line 4: the cross q-1 differs from Q-1 in capital letters alone. "
            "Use Q-1, or give another id"
        ),
        "plan.csv, line 5: the cross M-01 is recorded already. Use it, or give another id",
    ]
    assert [one.cross.id for one in store.crosses()] == ["M-01"]


def test_trying_records_nothing_and_says_the_same(store: Store):
    assert store.plans.take_in(rows(PLANNED), try_only=True) == (1, ())
    assert store.crosses() == ()
    assert store.verify().entries == 0


def test_rows_are_read_as_they_are_needed_and_no_more_than_fifty_faults_are_told(store: Store):
    read = 0

    def several():
        nonlocal read
        for number in range(1000):
            read += 1
            yield f"line {number}", PlannedCross("C-1", OLMO, OLMO)

    assert len(store.plans.take_in(several())[1]) == 50
    assert read == 200, "as many as are written at once"


def test_parent_is_filled_in_but_never_silently_changed(store: Store):
    store.plans.add(PlannedCross("C-1", PlannedParent("Ferra"), OLMO))
    assert store.plans.add_parent(FERRA, by="Ida").accession == "IN 113"
    with pytest.raises(UsageError, match="the accession of Ferra is recorded as IN 113, not X"):
        store.plans.add_parent(PlannedParent("Ferra", "X"))
    changed = store.plans.change_parent(PlannedParent("Ferra", "X"), by="Bo", reason="label read")
    assert (changed.accession, changed.pedigree) == ("X", "Aldo/Bruma")
    assert store.verify().faults == ()


def test_what_cannot_be_a_parent(store: Store):
    with pytest.raises(PedigreeError):
        store.plans.add_parent(PlannedParent("Ferra", pedigree="Aldo//"))
    with pytest.raises(StoreError, match="no parent Ferra"):
        store.plans.parent("Ferra")
    with pytest.raises(StoreError, match="no parent Ferra"):
        store.plans.change_parent(PlannedParent("Ferra", "X"), by="Bo", reason="so")
    with pytest.raises(UsageError, match="nothing to change"):
        store.plans.change_parent(PlannedParent("Ferra"), by="Bo", reason="so")


@pytest.mark.parametrize("seeds", [0, -3, 10**9])
def test_seeds_that_cannot_be_wanted(store: Store, seeds: int):
    with pytest.raises(UsageError, match="seeds wanted are 1 or more"):
        store.plans.add(PlannedCross("C-1", FERRA, OLMO, seeds_wanted=seeds))


def test_cross_planned_wrongly_is_put_right(store: Store):
    store.plans.add(PLANNED)
    changed = store.plans.change(
        "C-1", {"male": "Tarn", "seeds_wanted": 40}, by="Bo", reason="typed wrong"
    )
    assert store.cross("C-1") == changed
    assert (changed.male, changed.seeds_wanted, changed.purpose) == ("Tarn", 40, "rust")
    assert store.plans.parent("Tarn").name == "Tarn"
    assert store.plans.parent("Ferra").accession == "IN 113", "parents stay as they are"
    assert store.verify().faults == ()
    with pytest.raises(UsageError, match="nothing changes"):
        store.plans.change("C-1", {"male": "Tarn"}, by="Bo", reason="again")
    with pytest.raises(UsageError, match="female and male are both Ferra"):
        store.plans.change("C-1", {"male": "Ferra"}, by="Bo", reason="odd")


def test_cross_is_not_changed_under_a_spike_that_was_pollinated(store: Store):
    store.plans.add(PLANNED)
    ago = datetime.now(UTC) - timedelta(days=5)
    for hours, detail in enumerate((Emasculated(20, 60), Bagged("no camera"), Pollinated("Olmo"))):
        store.spikes.add("C-1", 3, Step(detail, ago + timedelta(hours=hours), "Ida"))
    with pytest.raises(StepError, match=r"cannot be changed so: .* planned with the male Tarn"):
        store.plans.change("C-1", {"male": "Tarn"}, by="Bo", reason="typed wrong")
    assert store.cross("C-1").male == "Olmo"
    store.plans.change("C-1", {"crop": "triticale"}, by="Bo", reason="looked closer")
    assert store.spikes.one("C-1", 3).crop == "triticale"
    assert store.verify().faults == ()
