"""`plan …`, `parent …` and `session …`."""

from __future__ import annotations

import pytest
from PIL import Image

HEADER = "cross,female,male,seeds_wanted\n"
GOOD = HEADER + "M-01,Alva,Brinn,20\nM-02,Corvé 3,=Tarn,\n"


@pytest.fixture
def plan(records):
    """Write a plan."""

    def write(text):
        path = records / "plan.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return write


def test_a_plan_is_tried_then_taken_in(done, plan):
    plan(GOOD)
    assert "2 crosses would be recorded" in done("plan", "take-in", "plan.csv", "--try")
    assert "No cross is recorded" in done("cross", "list")
    assert "Recorded 2 crosses in " in done("plan", "take-in", "plan.csv")
    assert "=Tarn" in done("parent", "list")


def test_the_template_is_a_plan_without_rows(done, plan):
    plan(done("plan", "template"))
    assert "0 crosses would be recorded" in done("plan", "take-in", "plan.csv", "--try")


def test_each_problem_is_a_line_and_the_last_says_how_many(run, done, plan):
    plan(HEADER + "M-01,Alva,Brinn,many\nM-02,,Brinn,\nM-03,Alva,Alva,\n")
    ended = run("plan", "take-in", "plan.csv")
    assert (ended.code, ended.out) == (2, "")
    lines = ended.err.splitlines()
    assert [line.partition(": ")[2].partition(": ")[0] for line in lines] == [
        "plan.csv, line 2, column 4 (seeds_wanted)",
        "plan.csv, line 3, column 2 (female)",
        "plan.csv, line 4",
        "plan.csv",
    ]
    assert lines[-1].startswith("spikecheck: plan.csv: 3 problems; nothing was recorded. Mend ")
    assert all(line.startswith("spikecheck: ") for line in lines)
    assert "No cross is recorded" in done("cross", "list")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (b"", "the file is empty"),
        (GOOD.encode("utf-16"), "not UTF-8 text"),
        (GOOD.encode("latin-1"), "line 3: character 10 is not UTF-8 text"),
        (b"PK\x03\x04 a workbook", "line 1: the file is a workbook"),
        ("crosses,female,male\n", "no column is called crosses"),
    ],
)
def test_what_is_no_plan_is_one_line(refused, done, plan, text, said):
    plan(text)
    line = refused("plan", "take-in", "plan.csv")
    assert "plan.csv" in line
    assert said in line
    assert "No cross is recorded" in done("cross", "list")


@pytest.mark.parametrize("ending", ["jpg", "png"])
def test_a_photo_is_no_plan(refused, records, ending):
    Image.new("RGB", (40, 30), (9, 120, 90)).save(records / f"photo.{ending}")
    assert f"photo.{ending}, line 1: " in refused("plan", "take-in", f"photo.{ending}")


def test_what_cannot_be_read_is_one_line(refused, records):
    assert "Is a directory" in refused("plan", "take-in", records)
    assert "No such file" in refused("plan", "take-in", "none.csv")


def test_parents_are_added_shown_and_changed(done, refused):
    assert done("parent", "list").startswith("No parent is recorded.")
    assert done("parent", "add", "Ferra", "--pedigree", " Dorn / Esk") == (
        "Added parent Ferra: pedigree Dorn/Esk\n"
    )
    assert "accession IN 7" in done("parent", "add", "Ferra", "--accession", "IN 7")
    line = refused("parent", "add", "Ferra", "--accession", "IN 8")
    assert "Ferra" in line
    told = done("parent", "change", "Ferra", "--accession", "IN 8", "--reason", "typed wrong")
    assert told == "Changed parent Ferra: accession IN 8, pedigree Dorn/Esk\n"
    assert done("parent", "show", "Ferra") == "Ferra: accession IN 8, pedigree Dorn/Esk\n"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("parent", "add", ""), "is empty"),
        (("parent", "add", "a\x00b"), "control character U+0000"),
        (("parent", "add", "x" * 201), "the most is 200"),
        (("parent", "add", "L", "--pedigree", "Dorn/"), "column 6"),
        (("parent", "show", "Nobody"), "Nobody"),
        (("parent", "change", "Nobody", "--place", "p", "--reason", "x"), "Nobody"),
        (("parent", "change", "Ferra", "--reason", "x"), "nothing to change"),
        (("parent", "change", "Ferra", "--place", "p", "--reason", ""), "is empty"),
        (("session", "add", ""), "the id of the session is empty"),
        (("session", "add", "S-1", "--person", " "), "the name of a person is empty"),
        (("session", "add", "S-1", "--day", "May 4"), "is no moment"),
        (("session", "add", "S-1", "--day", "9999-12-31"), "in the year 9999"),
        (("session", "add", "S-1", "--place", "a\nb"), "control character U+000A"),
        (("session", "add", "s" * 65), "the most is 64"),
        (("session", "show", "S-9"), "S-9"),
        (("cross", "add", "C-9", "--female", "Ferra", "--male", "Ferra"), "Ferra"),
    ],
)
def test_what_cannot_be_is_one_line_and_leaves_nothing(done, refused, words, said):
    done("parent", "add", "Ferra")
    before = done("verify")
    assert said in refused(*words)
    assert done("verify") == before


@pytest.mark.usefixtures("cross")
def test_sessions_are_added_listed_and_show_their_spikes(done, refused):
    assert done("session", "list").startswith("No session is recorded.")
    told = done("session", "add", "S-1", "--day", "2026-05-04", "--place", "House [b]2",
                "--person", "Ida", "--person", "Bo", "--note", "hot\nand dry")  # fmt: skip
    line = "S-1: 2026-05-04, House [b]2, Ida and Bo (hot and dry)\n"
    assert told == f"Added session {line}"
    assert "S-1" in refused("session", "add", "S-1")
    done("session", "add", "S-2", "--day", "2026-05-05")
    assert done("session", "list") == f"S-2: 2026-05-05\n{line}"
    assert "No spike was emasculated in it." in done("session", "show", "S-1")
    done("record", "emasculated", "C-1/1", "--florets", 20, "--anthers", 60, "--session", "S-1")
    assert "C-1/1: emasculated" in done("session", "show", "S-1")
    assert "Session S-1 House [b]2" in done("spike", "show", "C-1/1")
    assert "C-1/1" in done("spike", "list", "--session", "S-1")
