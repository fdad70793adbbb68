"""Crossing plans: what is read, and where each problem is said to be."""

from __future__ import annotations

import io
import itertools
import time
import tracemalloc

import pytest

from spikecheck.errors import TableError
from spikecheck.exchange import (
    PLAN_COLUMNS,
    PlanRow,
    Problem,
    plan_template,
    read_plan,
)
from spikecheck.vocabulary.plan import PlannedCross, PlannedParent

SHORT = "cross,female,male\n"


def plan(text: str, **options):
    return list(read_plan(io.BytesIO(text.encode()), **options))


def test_a_whole_row():
    text = (
        "Note;MALE;female;cross;Seeds wanted;crop;purpose;project;female_accession;"
        "female_pedigree;female_place;male_accession;male_pedigree;male_place\r\n"
        '"first\r\nsecond";Ölfeld 3;Tarn;X-1;40;Durum;rust;North;ACC 7;'
        "Alva/Brinn/2/Corve;plot 12;ACC 9;Dorn/Esk*3;pot 4\r\n"
    )
    assert plan(text) == [
        PlanRow(
            2,
            PlannedCross(
                id="X-1",
                female=PlannedParent("Tarn", "ACC 7", "Alva/Brinn//Corve", "plot 12"),
                male=PlannedParent("Ölfeld 3", "ACC 9", "Dorn/Esk*3", "pot 4"),
                crop="durum",
                purpose="rust",
                seeds_wanted=40,
                project="North",
                note="first\nsecond",
            ),
        )
    ]


def test_the_shortest_plan():
    assert plan(SHORT + "X-1,Tarn,Alva\n\n,,\nX-2,Alva\n") == [
        PlanRow(2, PlannedCross("X-1", PlannedParent("Tarn"), PlannedParent("Alva"))),
        Problem(5, "male", 3, "male is empty", "Give one"),
    ]


def test_the_template_is_a_plan_without_rows_that_names_every_column():
    assert plan(plan_template()) == []
    assert plan_template().strip().split(",") == [column.name for column in PLAN_COLUMNS]


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("cross,female,male,pedigre_male", r"line 1, column 4: no column is called pedigre_male"),
        ("cross,femal,male", "line 1, column 2: .*Did you mean female"),
        ("cross,female", "line 1: the plan has no column male. Add"),
        ("note", "no column cross and female and male"),
        ("cross,female,male,Cross", "line 1, column 4: cross stands in column 1 already"),
        ("\n\ncross,female,male,colour", "line 3, column 4: no column is called colour"),
    ],
)
def test_headers_are_checked_at_once(header, said):
    with pytest.raises(TableError, match=said):
        read_plan(io.BytesIO(f"{header}\nX-1,Tarn,Alva\n".encode()))


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (",Tarn,Alva", "line 2, column 1 (cross): cross is empty. Give one"),
        ("X-1,Tarn," + "a" * 201, "line 2, column 3 (male): male has 201 characters"),
        ("X-1,Tarn,A\0lva", "line 2, column 3 (male): male holds the control character U+0000"),
        ("X-1,Tarn,Alva,40.5", "line 2, column 4 (seeds_wanted): 40.5 is no number of seeds"),
        ("X-1,Tarn,Alva,-4", "line 2, column 4 (seeds_wanted): -4 is no number of seeds"),
        ("X-1,Tarn,Alva,0", "(seeds_wanted): 0 is no number"),
        ("X-1,Tarn,Alva,٤", "(seeds_wanted): ٤ is no number"),
        ("X-1,Tarn,Alva,,A//B//C", "line 2, column 5 (female_pedigree): // comes a second time"),
        ("X-1,Tarn,Alva,,A/", "a parent is missing (at character 3). Write its name"),
        ('X-1,"Tarn\n\n\n\n",Alva,x', "line 6, column 4 (seeds_wanted): x is no number"),
        ("X-1,Tarn,Alva,,,wheet", "Did you mean wheat? Known are barley, wheat"),
        ("X-1,Tarn,Alva,,,,extra", "line 2: the row has 7 cells, the header 6. Put a text"),
    ],
)
def test_problems_say_line_and_column(row, said):
    header = "cross,female,male,seeds_wanted,female_pedigree,crop\n"
    found = plan(header + row + "\nX-2,Tarn,Alva\n", crops={"wheat", "barley"})
    assert said in " | ".join(str(one) for one in found if isinstance(one, Problem))
    assert isinstance(found[-1], PlanRow)
    assert found[-1].planned.id == "X-2"


def test_every_problem_of_a_row_is_told():
    found = plan("cross,female,male,seeds_wanted\n,,Alva,x\n")
    assert [(one.line, one.column) for one in found] == [
        (2, "cross"), (2, "female"), (2, "seeds_wanted"),
    ]  # fmt: skip


def test_the_problems_of_a_row_come_in_the_order_of_the_file():
    text = (
        "male,note,seeds_wanted,female_pedigree,crop,female,cross\n"
        'Alva,"two\nlines",many,A//,quinoa,,\n'
    )
    found = plan(text, crops=("wheat",))
    assert [(one.line, one.column) for one in found] == [
        (3, "seeds_wanted"), (3, "female_pedigree"), (3, "crop"), (3, "female"), (3, "cross")
    ]  # fmt: skip
    assert [one.column for one in plan("cross,male,female,note\n,,,x\n")] == [
        "cross", "male", "female"
    ]  # fmt: skip


def test_an_exported_formula_comes_back_as_text():
    (row,) = plan(SHORT + "X-1,'=Tarn,'Alva\n")
    assert (row.planned.female.name, row.planned.male.name) == ("=Tarn", "'Alva")


class Endless(io.RawIOBase):
    """A plan that never ends."""

    def __init__(self):
        rows = (f"X-{k},Tarn {k},Alva\n".encode() for k in itertools.count())
        self._rows = itertools.chain([SHORT.encode()], rows)

    def readable(self):
        return True

    def readinto(self, buffer):
        row = next(self._rows)
        buffer[: len(row)] = row
        return len(row)


def test_memory_does_not_grow_with_the_plan():
    rows = read_plan(io.BufferedReader(Endless()))
    next(rows)
    tracemalloc.start()
    for _ in itertools.islice(rows, 3_000):
        pass
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 300_000


def test_ten_thousand_rows_take_less_than_two_seconds():
    row = "X-{},Tarn,Alva,Alva/Brinn//Corve/3/Dorn/Esk,40,wheat\n"
    text = "cross,female,male,female_pedigree,seeds_wanted,crop\n" + "".join(
        row.format(k) for k in range(10_000)
    )
    begun = time.process_time()
    assert len(plan(text)) == 10_000
    assert time.process_time() - begun < 2
