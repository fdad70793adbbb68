"""`agenda`, `outcomes` and `tags print`."""

from __future__ import annotations

import pytest
import vobject

from tests.cli.records.conftest import ago


def test_an_empty_store_has_nothing_to_do_and_nothing_to_tell(done):
    assert done("agenda") == "Nothing is to be done.\n"
    told = done("outcomes")
    assert told.startswith("No spike is threshed yet")
    assert "takes 59 more control florets" in told
    assert "takes 299 more control florets" in done("outcomes", "--bound", 1)


@pytest.mark.usefixtures("bagged")
def test_the_agenda_tells_what_waits_and_writes_a_calendar(done, run, records):
    told = done("agenda", "--all", "--calendar", "crossing.ics")
    assert "C-1: spikes 1\N{EN DASH}2: Pollinate with Olmo" in told
    assert "18 °C are assumed" in told
    assert told.endswith("Calendar of 1 entry: crossing.ics\n")
    calendar = vobject.readOne((records / "crossing.ics").read_text("utf-8"))
    assert "Pollinate" in calendar.vevent.summary.value
    ended = run("agenda", "--calendar", records)
    assert ended.code == 2
    assert ended.out.startswith("Today") or ended.out.startswith("Overdue"), "told all the same"
    assert ended.err.endswith(": cannot be written (Is a directory). Name another file\n")
    assert ended.err.count("\n") == 1


@pytest.mark.usefixtures("cross")
def test_spikes_of_one_group_with_other_deadlines_are_each_told(done):
    done("record", "emasculated", "C-1/1", "--florets", 20, "--anthers", 60, "--at", ago(3))
    done("record", "emasculated", "C-1/2", "--florets", 20, "--anthers", 60, "--at", ago(4))
    lines = [line.strip() for line in done("agenda").splitlines()]
    told = [line for line in lines if "Take photos and check by" in line]
    assert len(told) == 2
    assert told[0].startswith("Spike 2: "), "the most pressing one comes first"
    assert told[1].startswith("Spike 1: ")
    assert sum("are assumed" in line for line in lines) == 1


@pytest.mark.parametrize("days", [0, 367, "x"])
def test_days_out_of_place_are_one_line(refused, days):
    assert "--days" in refused("agenda", "--days", days)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--by", "weather"), "not told apart by weather"),
        (("--bound", "0"), "between 0 and 100 %"),
        (("--bound", "100"), "between 0 and 100 %"),
        (("--bound", "nan"), "between 0 and 100 %"),
        (("--bound", "0.0000001"), "Take a larger bound"),
        (("--cross", "C-9"), "C-9"),
    ],
)
def test_outcomes_that_cannot_be_asked_for(refused, words, said):
    assert said in refused("outcomes", *words)


@pytest.mark.usefixtures("bagged")
def test_outcomes_are_told_apart(done):
    done("record", "pollinated", "C-1/1", "--at", ago(3))
    done("record", "control", "C-1/2", "--at", ago(3))
    done("record", "harvested", "C-1/1-2", "--at", ago(1))
    done("record", "threshed", "C-1/1", "--seeds", 12, "--at", ago(0.5))
    done("record", "threshed", "C-1/2", "--seeds", 0, "--at", ago(0.5))
    told = done("outcomes", "--by", "technician", "--cross", "C-1")
    assert "12/20" in told
    assert "60.0%" in told
    assert "12 of 20 florets set seed, 60 %" in told
    assert "39 more control florets to the 20 there are" in told
    for way in ("cross", "session", "place", "pollinator", "method", "third", "verdict",
                "decided-by"):  # fmt: skip
        done("outcomes", "--by", way)


@pytest.mark.usefixtures("cross")
def test_tags_are_printed_and_kept(done, refused, records):
    told = done("tags", "print", "C-1/1-3", "--pdf", "tags.pdf")
    assert told == (
        "3 tags in tags.pdf. Print at 100 %; the line on the sheet must measure 100 mm.\n"
    )
    assert (records / "tags.pdf").read_bytes().startswith(b"%PDF-")
    before = done("verify")
    assert "1 tag in " in done("tags", "print", "C-1/2", "--pdf", "again.pdf", "--paper", "letter")
    assert "no paper is called a3" in refused(
        "tags", "print", "C-1/4", "--pdf", "x.pdf", "--paper", "a3"
    )
    assert "C-9" in refused("tags", "print", "C-9/1", "--pdf", "x.pdf")
    assert not (records / "x.pdf").exists()
    assert done("verify") == before
    assert "Is a directory" in refused("tags", "print", "C-1/1", "--pdf", records)


def test_letters_that_may_be_missing_on_tags_are_told_with_spikes_and_cure(run, done):
    done("cross", "add", "C-1", "--female", "Ferra", "--male", "Olmo")
    done("cross", "add", "C-2", "--female", "\u5c0f\u9ea6", "--male", "Olmo")
    done("cross", "add", "C-3", "--female", "Ferra", "--male", "\u0642\u0645\u062d")
    ended = run("tags", "print", "C-1/1", "C-2/1-3", "C-3/2", "C-3/4", "--pdf", "tags.pdf")
    assert ended.code == 0
    boxes, foreign = ended.err.splitlines()
    assert (
        "letters \u062d\u0642\u0645: they are printed as empty boxes on the tags of C-3/2, 4."
        in boxes
    )
    assert boxes.endswith("by hand, or give the parents names in Latin letters")
    assert "letters \u5c0f\u9ea6 are left to the fonts" in foreign
    assert (
        "on the tags of C-2/1\N{EN DASH}3: where it lacks them they stay blank. Look at" in foreign
    )
    assert "C-1/" not in ended.err
