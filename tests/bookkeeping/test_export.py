"""Everything as CSV tables."""

from __future__ import annotations

import csv
import json
from dataclasses import replace

import pytest

from spikecheck.bookkeeping import export
from spikecheck.bookkeeping.export import export_tables
from spikecheck.bookkeeping.plan_intake import take_in_plan
from spikecheck.errors import OutputError, StoreError
from spikecheck.exchange.cells import unguarded
from tests.bookkeeping.invented import CUT
from tests.bookkeeping.season_of_all_kinds import EVERY_KIND, TAG, fill


@pytest.fixture
def full(store):
    fill(store)
    return store


def table(path):
    """Rows as dictionaries, as a spreadsheet reads them."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_every_table_holds_what_is_recorded(full, tmp_path):
    told = []
    rows = export_tables(
        full, tmp_path / "deep" / "tables", on_progress=lambda *one: told.append(one)
    )
    folder = tmp_path / "deep" / "tables"
    assert rows == {
        "plan.csv": 2, "parents.csv": 4, "sessions.csv": 1, "spikes.csv": 4,
        "history.csv": len(list(full.spikes.every_entry())), "checks.csv": 1,
        "temperatures.csv": 4, "numbers.csv": 1,
    }  # fmt: skip
    assert {path.name for path in folder.iterdir()} == set(rows)
    assert {name: len(table(folder / name)) for name in rows} == rows
    assert told == [(done, len(rows)) for done in range(1, len(rows) + 1)]
    assert [path.name for path in (tmp_path / "deep").iterdir()] == ["tables"]


def test_cells_say_what_the_records_say(full, tmp_path):
    export_tables(full, tmp_path / "tables")
    spike = table(tmp_path / "tables" / "spikes.csv")[0]
    assert (spike["cross"], spike["spike"], spike["tag"]) == ("C-1", "1", TAG)
    assert (spike["verdict"], spike["computed_verdict"]) == ("pass", "review")
    assert (spike["overridden"], spike["control"]) == ("yes", "no")
    assert spike["emasculated_at"] == CUT.isoformat()
    assert spike["thirds"] == "3 of 6; 7 of 8; 2 of 5"
    assert (spike["given_up_at"], spike["seeds"]) == ("", "12")
    (session,) = table(tmp_path / "tables" / "sessions.csv")
    assert session["people"] == "Ida; Bo"
    (check,) = table(tmp_path / "tables" / "checks.csv")
    assert (check["computed_verdict"], check["standing_verdict"]) == ("review", "pass")
    assert check["overrides"] == "Ida: a palea"
    assert check["photo_sha256"] == full.check(1).photos[0].sha256
    history = table(tmp_path / "tables" / "history.csv")
    assert {row["step"] for row in history} == EVERY_KIND
    assert [int(row["entry"]) for row in history] == sorted(int(row["entry"]) for row in history)
    back = history[-1]
    assert (back["at"], back["reason"], back["recorded_by"]) == ("", "other spike", "Bo")
    temperatures = table(tmp_path / "tables" / "temperatures.csv")
    assert [(row["place"], row["min_c"], row["max_c"]) for row in temperatures] == [
        ("House 2", "8.5", "21.0"), ("House 2", "9.0", "22.0"), ("House 2", "20.5", "20.5"),
        ("Chamber", "19.0", "19.0"),
    ]  # fmt: skip
    (number,) = table(tmp_path / "tables" / "numbers.csv")
    assert (number["number"], float(number["value"]), number["by"]) == ("receptive_best", 60, "Ida")


def test_no_cell_is_a_formula_and_each_reads_back(full, tmp_path):
    """OWASP, CSV Injection: cells that begin with = + - @, tab or carriage return."""
    export_tables(full, tmp_path / "tables")
    cells = [
        cell
        for path in (tmp_path / "tables").iterdir()
        for row in table(path)
        for cell in row.values()
    ]
    # OWASP, CSV Injection: what a spreadsheet takes for the beginning of a formula.
    dangerous = ("=", "+", "-", "@", "\t", "\r", "\n")
    assert not [cell for cell in cells if cell.startswith(dangerous)]
    assert not [cell for cell in cells if cell.lstrip().startswith(dangerous)]
    for text in ("=M-2", "@Tarn", "+early\nand short", "-North", "=hot", "-broken by hail"):
        assert f"'{text}" in cells
        assert unguarded(f"'{text}") == text


def test_the_plan_taken_in_again_gives_the_same_crosses_and_parents(full, new_store, tmp_path):
    export_tables(full, tmp_path / "tables")
    again = new_store("again")
    with (tmp_path / "tables" / "plan.csv").open("rb") as file:
        assert take_in_plan(again, file, name="plan.csv") == (2, ())

    def plain(store):
        crosses = {one.cross.id: replace(one.cross, created_at=CUT) for one in store.crosses()}
        return crosses, [replace(one, created_at=CUT) for one in store.plans.parents()]

    assert plain(again) == plain(full)


def test_an_empty_store_gives_headers_alone(new_store, tmp_path):
    rows = export_tables(new_store("empty"), tmp_path / "tables")
    assert set(rows.values()) == {0}
    assert (tmp_path / "tables" / "plan.csv").read_bytes().startswith(b"\xef\xbb\xbfcross,female")


def test_a_failure_leaves_no_folder(full, tmp_path, monkeypatch):
    def broken(store):
        yield from export._spikes(store)
        raise StoreError("the records cannot be read")

    tables = tuple(
        (name, columns, broken if name == "spikes.csv" else read)
        for name, columns, read in export._TABLES
    )
    monkeypatch.setattr(export, "_TABLES", tables)
    place = tmp_path / "out"
    with pytest.raises(StoreError, match="cannot be read"):
        export_tables(full, place / "tables")
    assert list(place.iterdir()) == []


def test_a_folder_with_something_in_it_is_refused_and_an_empty_one_taken(full, tmp_path):
    folder = tmp_path / "tables"
    folder.mkdir()
    (folder / "own.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(OutputError, match="the folder is not empty"):
        export_tables(full, folder)
    assert [path.name for path in folder.iterdir()] == ["own.txt"]
    (folder / "own.txt").unlink()
    assert export_tables(full, folder)["plan.csv"] == 2


@pytest.mark.parametrize("name", ["a file", "a file/below"])
def test_a_place_that_cannot_be_a_folder_is_told(full, tmp_path, name):
    (tmp_path / "a file").write_text(json.dumps("mine"), encoding="utf-8")
    with pytest.raises(OutputError, match="cannot be written") as refused:
        export_tables(full, tmp_path / name)
    assert refused.value.where == str(tmp_path / name)
    assert refused.value.cure
