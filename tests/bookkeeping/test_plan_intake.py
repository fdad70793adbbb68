"""A plan taken in as a whole or not at all."""

from __future__ import annotations

import tracemalloc

import pytest

from spikecheck.bookkeeping.plan_intake import take_in_plan, there_may_be_more
from spikecheck.errors import TableError
from tests.plans import planned

HEADER = "cross,female,male,seeds_wanted,female_pedigree,crop\n"
GOOD = HEADER + "M-01,Alva,Brinn,20,Dorn/Esk,\nM-02,Corvé,Brinn,,,barley\n"


@pytest.fixture
def take_in(new_store, tmp_path):
    """Take a text in; return the count, the faults as lines, and the store."""
    store = new_store("plan records")

    def take(text, **more):
        path = tmp_path / "plan.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        with path.open("rb") as file:
            count, faults = take_in_plan(store, file, name="plan.csv", **more)
        return count, [str(fault) for fault in faults], store

    return take


def ids(store):
    return [summary.cross.id for summary in store.crosses()]


def nothing_is_recorded(store):
    return ids(store) == [] and store.plans.parents() == () and store.verify().entries == 0


def test_a_good_plan_is_recorded_with_its_parents(take_in):
    count, faults, store = take_in(GOOD, by="Ida")
    assert (count, faults, ids(store)) == (2, [], ["M-01", "M-02"])
    assert [one.name for one in store.plans.parents()] == ["Alva", "Brinn", "Corvé"]
    assert store.plans.parent("Alva").pedigree == "Dorn/Esk"
    assert (store.cross("M-01").seeds_wanted, store.cross("M-02").crop) == (20, "barley")
    assert store.verify().faults == ()


def test_trying_tells_the_same_and_records_nothing(take_in):
    count, faults, store = take_in(GOOD, try_only=True)
    assert (count, faults) == (2, [])
    assert nothing_is_recorded(store)
    assert take_in(GOOD)[0] == 2


def test_problems_are_told_by_line_and_column_and_nothing_half_is_recorded(take_in):
    text = (
        HEADER
        + "M-01,Alva,Brinn,20,Dorn/Esk,\n"
        + '"M-\n02",Corvé,Brinn,many,Dorn/,\n'
        + "M-03,,Brinn,,,whaet\n"
        + "M-01,Alva,Brinn,,,\n"
        + "M-05,Alva,Alva,,,\n"
        + "M-06,Alva,Brinn,,Esk/Dorn,\n"
    )
    count, faults, store = take_in(text)
    assert count < 6
    faults.sort()
    assert [fault.partition(": ")[0] for fault in faults] == [
        "plan.csv, line 3, column 1 (cross)",
        "plan.csv, line 4, column 4 (seeds_wanted)",
        "plan.csv, line 4, column 5 (female_pedigree)",
        "plan.csv, line 5, column 2 (female)",
        "plan.csv, line 5, column 6 (crop)",
        "plan.csv, line 6",
        "plan.csv, line 7",
        "plan.csv, line 8",
    ]
    assert "Did you mean wheat?" in faults[4]
    assert "M-01" in faults[5]
    assert "Dorn/Esk" in faults[7]
    assert nothing_is_recorded(store)


def test_what_is_recorded_already_is_a_fault_and_stays(take_in):
    _, _, store = take_in(GOOD)
    before = store.verify().head
    count, faults, _ = take_in(HEADER + "M-00,Alva,Brinn,,,\nM-02,Alva,Brinn,,,\n")
    assert count == 1
    assert faults[0].startswith("plan.csv, line 3: the cross M-02 is recorded already")
    assert ids(store) == ["M-01", "M-02"]
    assert store.verify().head == before


def test_only_the_first_faults_are_told(take_in):
    text = HEADER + "".join(f"M-{n},Alva,Brinn,x,,\n" for n in range(60))
    _, faults, store = take_in(text)
    assert len(faults) == 50
    assert there_may_be_more(tuple(faults))
    assert not there_may_be_more(tuple(faults[:49]))
    assert nothing_is_recorded(store)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (GOOD.encode("latin-1"), "plan.csv, line 3: character 10 is not UTF-8 text"),
        (GOOD.encode("utf-16"), "plan.csv, line 1: the file is not UTF-8 text"),
        (b"PK\x03\x04 a workbook", "plan.csv, line 1: the file is a workbook"),
        (b"\xff\xd8\xff\xe0 a photo", "plan.csv, line 1: "),
        (b"\x89PNG\r\n\x1a\n\0\0", "plan.csv, line 1: "),
        (b"", "plan.csv: the file is empty"),
        ("cross,female\nM,A\n", "plan.csv, line 1: the plan has no column male"),
        ("cross,female,mael\n", "plan.csv, line 1, column 3: no column is called mael. Did you m"),
        (GOOD + 'M-03,"Alva,Brinn,,,\n', "plan.csv, line 4: the quotes of this row do not close"),
    ],
)
def test_what_is_no_plan_is_refused_with_the_place(take_in, text, said):
    with pytest.raises(TableError) as refused:
        take_in(text)
    assert str(refused.value).startswith(said)
    assert refused.value.cure
    assert nothing_is_recorded(take_in(HEADER)[2])


def test_another_program_s_table_is_read(take_in):
    text = "\ufeff" + GOOD.replace(",", ";").replace("\n", "\r\n")
    count, faults, store = take_in(text.encode())
    assert (count, faults, ids(store)) == (2, [], ["M-01", "M-02"])


def test_a_long_plan_takes_no_more_memory_than_a_short_one(take_in):
    """20,000 rows need about what 2,000 do: they are read and recorded part by part."""

    def peak(first, rows):
        lines = (f"M-{n},Alva {n % 50},Brinn,{n % 90 + 1},,\n" for n in range(first, first + rows))
        text = HEADER + "".join(lines)
        tracemalloc.start()
        try:
            start = tracemalloc.get_traced_memory()[0]
            tracemalloc.reset_peak()
            count, faults, _ = take_in(text.encode(), on_progress=told.append_pair)
            highest = tracemalloc.get_traced_memory()[1] - start
        finally:
            tracemalloc.stop()
        assert (count, faults) == (rows, [])
        return highest

    told = _Told()
    peak(0, 2_000)  # modules are loaded, statements compiled
    short, long = peak(2_000, 2_000), peak(4_000, 20_000)
    assert long < short + 2_000_000
    done, size = told.pairs[-1]
    assert 0 < done <= size
    assert all(one[0] <= one[1] for one in told.pairs)


class _Told:
    def __init__(self):
        self.pairs = []

    def append_pair(self, done, size):
        self.pairs.append((done, size))


def test_a_planner_s_name_that_cannot_be_kept_is_refused(new_store, tmp_path):
    from spikecheck.errors import UsageError

    store = new_store("x")
    store.plans.add(planned())
    path = tmp_path / "plan.csv"
    path.write_text(GOOD, encoding="utf-8")
    with path.open("rb") as file, pytest.raises(UsageError, match="who plans"):
        take_in_plan(store, file, name="plan.csv", by="a\x1b")
    assert ids(store) == ["C-1"]
