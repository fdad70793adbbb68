"""Crosses handed to others as BrAPI files, and theirs taken in."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from spikecheck.bookkeeping.brapi_files import ENDPOINTS, read_brapi, write_brapi
from spikecheck.bookkeeping.received_steps import steps_received
from spikecheck.errors import ExchangeError, OutputError, TagError, UsageError
from spikecheck.vocabulary import SpikeRecord, StepKind
from spikecheck.vocabulary.steps import Bagged, Emasculated, Tagged, kind_of
from tests.bookkeeping.invented import CUT, DAY, HOUR, did
from tests.bookkeeping.season_of_all_kinds import TAG, fill
from tests.plans import planned

# What stays behind: checks with their photos and audits, and sessions, which are told in the notes.
LEFT = {
    "check": None, "checked_at": None, "checked_by": "", "verdict": None,
    "computed_verdict": None, "overridden": False, "session": "", "place": "",
    "overridden_by": "", "audit": None,
}  # fmt: skip


@pytest.fixture
def full(store):
    fill(store)
    return store


@pytest.fixture
def other(new_store):
    return new_store("other")


def emasculated(store):
    return [one for one in store.spikes.all() if one.emasculated_at is not None]


def test_spikes_come_back_equal_but_for_checks_and_sessions(full, other, tmp_path):
    assert write_brapi(full, tmp_path / "out") == {
        "crossingprojects": 1, "plannedcrosses": 2, "crosses": 3,
    }  # fmt: skip
    taken = read_brapi(other, tmp_path / "out", by="Ann")
    assert (taken.crosses, taken.spikes, taken.known, taken.remarks) == (2, 3, 0, ())
    assert list(other.spikes.all()) == [replace(one, **LEFT) for one in emasculated(full)]
    assert (taken.checks, taken.photos, taken.sessions) == (
        sum(one.check is not None for one in emasculated(full)),
        sum(len(full.check(one.check).photos) for one in emasculated(full) if one.check),
        sum(bool(one.session) for one in emasculated(full)),
    )
    assert taken.checks > 0 < taken.photos
    assert other.spikes.of_tag(TAG) == ("C-1", 1)
    mine, theirs = (
        {one.cross.id: replace(one.cross, created_at=CUT) for one in store.crosses()}
        for store in (full, other)
    )
    assert theirs == mine
    assert [replace(one, created_at=CUT) for one in other.plans.parents()] == [
        replace(one, created_at=CUT) for one in full.plans.parents() if one.name != "Brinn"
    ]
    assert other.verify().faults == ()


def test_the_history_says_where_it_came_from(full, other, tmp_path):
    write_brapi(full, tmp_path)
    read_brapi(other, tmp_path, by="Ann")
    entries = other.spikes.entries("C-1", 1)
    assert {one.recorded_by for one in entries} == {"Ann"}
    assert {one.step.note for one in entries} == {"taken in from another record, session S-1"}
    assert StepKind.CHECKED not in {one.kind for one in entries}
    (bag,) = [one.step.detail for one in entries if one.kind is StepKind.BAGGED]
    assert bag == Bagged("checked elsewhere: pass")
    (unchecked,) = [
        one.step.detail for one in other.spikes.entries("C-1", 2) if one.kind is StepKind.BAGGED
    ]
    assert unchecked == Bagged("not checked")


def test_reading_twice_changes_nothing(full, other, tmp_path):
    write_brapi(full, tmp_path)
    read_brapi(other, tmp_path, by="Ann")
    before = other.verify()
    again = read_brapi(other, tmp_path, by="Ann")
    assert (again.crosses, again.spikes, again.known) == (0, 0, 5)
    assert (again.checks, again.photos, again.sessions) == (0, 0, 0)
    assert other.verify().head == before.head
    mine = full.verify().head
    assert read_brapi(full, tmp_path, by="Ida").known == 5
    assert full.verify().head == mine


def test_what_is_recorded_here_stays(full, other, tmp_path):
    write_brapi(full, tmp_path)
    other.plans.add(planned())
    mine = did(other, 1, Emasculated(7, 21))
    taken = read_brapi(other, tmp_path, by="Ann")
    assert (taken.crosses, taken.spikes, taken.known) == (1, 2, 2)
    assert other.spikes.one("C-1", 1) == mine


def test_a_tag_of_another_spike_leaves_that_spike_out(full, other, tmp_path):
    write_brapi(full, tmp_path)
    other.plans.add(planned())
    did(other, 9, Tagged(TAG))
    taken = read_brapi(other, tmp_path, by="Ann")
    assert taken.spikes == 2
    (remark,) = taken.remarks
    assert remark.startswith("spike C-1/1 is left out: ")
    assert "belongs to spike C-1/9" in remark
    assert other.spikes.entries("C-1", 1) == ()


def altered(folder, endpoint, change):
    path = folder / f"{endpoint}.json"
    whole = json.loads(path.read_text("utf-8"))
    change(whole["result"]["data"])
    path.write_text(json.dumps(whole), encoding="utf-8")


def test_fields_of_others_are_told(full, other, tmp_path):
    write_brapi(full, tmp_path)
    altered(tmp_path, "crosses", lambda data: [one.update(colour="red") for one in data])
    taken = read_brapi(other, tmp_path, by="Ann")
    assert taken.remarks == ("the field crosses/colour is not known here and was left out 3 times",)
    assert taken.spikes == 3


def test_a_spike_that_cannot_have_been_is_left_out_and_told(full, other, tmp_path):
    write_brapi(full, tmp_path)

    def harvest_before_bagging(data):
        data[0]["additionalInfo"]["spikecheck"]["harvestedAt"] = (CUT - 9 * DAY).isoformat()

    altered(tmp_path, "crosses", harvest_before_bagging)
    taken = read_brapi(other, tmp_path, by="Ann")
    assert (taken.crosses, taken.spikes) == (2, 2)
    assert "C-1/1 is left out" in taken.remarks[0]
    assert other.spikes.entries("C-1", 1) == ()
    assert other.verify().faults == ()


@pytest.mark.parametrize("endpoint", ENDPOINTS)
def test_broken_json_is_refused_and_nothing_recorded(full, other, tmp_path, endpoint):
    write_brapi(full, tmp_path)
    path = tmp_path / f"{endpoint}.json"
    path.write_bytes(path.read_bytes()[:-20])
    with pytest.raises(ExchangeError, match=f"^{endpoint}: no JSON from line") as refused:
        read_brapi(other, tmp_path, by="Ann")
    assert refused.value.cure
    assert other.verify().entries == 0


def test_a_folder_without_the_files_or_with_a_folder_for_one_is_told(other, tmp_path):
    for folder in (tmp_path, tmp_path / "none"):
        with pytest.raises(ExchangeError, match="holds none of the files") as refused:
            read_brapi(other, folder, by="Ann")
        assert "plannedcrosses.json" in refused.value.cure
    (tmp_path / "crosses.json").mkdir()
    with pytest.raises(ExchangeError, match="cannot be read"):
        read_brapi(other, tmp_path, by="Ann")


def test_without_a_name_nothing_is_taken_in(full, other, tmp_path):
    write_brapi(full, tmp_path)
    with pytest.raises(UsageError, match="who takes them in is empty"):
        read_brapi(other, tmp_path, by=" ")
    assert other.verify().entries == 0


def test_a_file_that_is_there_is_never_written_over(full, tmp_path):
    (tmp_path / "crosses.json").write_text("mine", encoding="utf-8")
    with pytest.raises(OutputError, match="is there already"):
        write_brapi(full, tmp_path)
    assert [path.name for path in tmp_path.iterdir() if path.suffix] == ["crosses.json"]
    assert (tmp_path / "crosses.json").read_text("utf-8") == "mine"
    with pytest.raises(OutputError, match="cannot be written"):
        write_brapi(full, tmp_path / "crosses.json" / "below")


BARE = SpikeRecord("C-1", 1, "wheat", "Ferra", "Olmo")


def test_what_did_not_happen_gives_no_step():
    assert steps_received(BARE) == ()
    one = replace(BARE, emasculated_at=CUT, florets=20, anthers=60)
    (step,) = steps_received(one)
    assert (step.detail, step.at, step.by) == (Emasculated(20, 60), CUT, "not noted")


def test_the_planned_male_needs_no_reason_and_another_one_has_it():
    way = replace(BARE, pollinated_at=CUT, pollinated_male="Olmo", pollinated_by="Bo")
    (step,) = steps_received(way)
    assert step.detail.other_male_reason == ""
    (step,) = steps_received(replace(way, pollinated_male="Tarn"))
    assert step.detail.other_male_reason == "as recorded elsewhere"


def test_the_steps_of_a_tag_count_from_the_first_that_is_told():
    way = replace(BARE, tag=TAG, selected_at=CUT, emasculated_at=CUT + HOUR, florets=20, anthers=60)
    kinds = [(kind_of(step.detail), step.at) for step in steps_received(way)]
    assert kinds == [
        (StepKind.SELECTED, CUT), (StepKind.TAGGED, CUT), (StepKind.EMASCULATED, CUT + HOUR),
    ]  # fmt: skip
    with pytest.raises(TagError):
        steps_received(replace(way, tag="not ours"))
