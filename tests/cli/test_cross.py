"""`cross`: add, list and show."""

from __future__ import annotations

import pytest

from spikecheck.store import open_store

ADD = ("cross", "add", "C-1", "--female", "L12", "--male", "L31")


@pytest.mark.usefixtures("folder")
def test_a_cross_is_added_listed_and_shown(run, folder):
    added = run(*ADD, "--note", "late sown\nblock 4")
    assert added.code == 0
    assert added.out == f"Added cross C-1, female L12, male L31, in {folder}/records\n"
    listed = run("cross", "list")
    assert listed.code == 0
    (row,) = [line for line in listed.out.splitlines() if "C-1" in line]
    assert row.split()[:3] == ["C-1", "L12", "L31"]
    assert row.split()[-3:] == ["0", "0", "0"]
    shown = run("cross", "show", "C-1").out.splitlines()
    assert shown[0] == "Cross C-1: female L12, male L31"
    assert shown[2:4] == ["Note: late sown", "Note: block 4"]
    assert shown[-1] == "No check is recorded beside it."


@pytest.mark.usefixtures("named_finder")
def test_checks_and_overrides_are_shown_newest_first(run, make_photo, folder):
    run(*ADD)
    for name in ("left.jpg", "clean.jpg"):
        run("check", make_photo(name), "--cross", "C-1", "--spike", 2, "--by", "AB")
    with open_store(str(folder / "records")) as store:
        store.override(1, "CD", "only a shadow")
    lines = run("cross", "show", "C-1").out.splitlines()
    first, second, override = lines[-3:]
    assert first.startswith("Check 2, spike 2: PASS, ")
    assert first.endswith(", by AB (clean.jpg)")
    assert second.startswith("Check 1, spike 2: REVIEW, ")
    assert override.startswith("    set to PASS by CD, ")
    assert override.endswith(": only a shadow")
    (row,) = [line for line in run("cross", "list").out.splitlines() if "C-1" in line]
    assert row.split()[-3:] == ["1", "1", "0"]


@pytest.mark.usefixtures("folder")
def test_a_terminal_too_narrow_for_a_table_gets_lines(run, monkeypatch):
    monkeypatch.setenv("COLUMNS", "40")
    run(*ADD)
    (line,) = [line for line in run("cross", "list").out.splitlines() if "C-1" in line]
    assert line.startswith("C-1: female L12, male L31, added ")
    assert line.endswith(", spikes 0, pass 0, review 0")


@pytest.mark.usefixtures("folder")
def test_without_crosses_it_says_how_to_add_one(run):
    assert "To add one: spikecheck cross add" in run("cross", "list").out


@pytest.mark.usefixtures("folder")
def test_a_taken_id_and_an_unknown_one_are_refused(run):
    run(*ADD)
    for done in (run(*ADD), run("cross", "show", "C-9")):
        assert done.code == 2
        assert done.err.startswith("spikecheck: ")
        assert done.err.count("\n") == 1


@pytest.mark.usefixtures("folder")
def test_text_of_others_cannot_steer_the_terminal(run):
    run("cross", "add", "[bold]x", "--female", ":smile:", "--male", "L31")
    listed, shown = run("cross", "list").out, run("cross", "show", "[bold]x").out
    for text in (listed, shown):
        assert "[bold]x" in text
        assert ":smile:" in text


@pytest.mark.usefixtures("folder")
def test_a_parent_left_out_is_a_usage_error(run):
    done = run("cross", "add", "C-1", "--female", "L12")
    assert done.code == 2
    assert "--male" in done.err
