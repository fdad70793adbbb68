"""What a report says, beside what the CSV export says of the same records."""

from __future__ import annotations

import csv
from datetime import date

import pytest

from spikecheck.bookkeeping.export import export_tables
from spikecheck.errors import StoreError
from spikecheck.language import Language, in_language
from spikecheck.reports import report_files
from spikecheck.reports.blocks import Facts, Figure, Pictures, Table, Text
from spikecheck.reports.gathering import gather_session
from spikecheck.vocabulary import CrossingSession
from tests.audited_session import build_session
from tests.plans import planned
from tests.reports.conftest import MADE, SESSION, ZONE


def section(report, heading):
    return next(one for one in report.sections if one.heading == heading)


def table(report, heading, number=0):
    return [block for block in section(report, heading).blocks if isinstance(block, Table)][number]


def pairs(report, heading):
    (facts,) = [one for one in section(report, heading).blocks if isinstance(one, Facts)]
    return dict(facts.pairs)


def rows(path):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def counted(folder, session):
    """Count what was exported with nothing but the csv module of the standard library."""
    spikes = [row for row in rows(folder / "spikes.csv") if row["session"] == session]
    names = {(row["cross"], row["spike"]) for row in spikes}
    history = [row for row in rows(folder / "history.csv") if (row["cross"], row["spike"]) in names]
    return {
        "Spikes emasculated": len(spikes),
        "Stand at pass": sum(row["verdict"] == "pass" for row in spikes),
        "Stand at review": sum(row["verdict"] == "review" for row in spikes),
        "Not checked": sum(row["verdict"] == "" for row in spikes),
        "Bagged": sum(row["bagged_at"] != "" for row in spikes),
        "Of them without a check that held": len(
            {
                (row["cross"], row["spike"]) for row in history
                if row["step"] == "bagged" and "without a check that holds" in row["said"]
            }
        ),
        "Checks recorded": sum(
            (row["cross"], row["spike"]) in names for row in rows(folder / "checks.csv")
        ),
        "Overrides recorded": sum(row["step"] == "overridden" for row in history),
    }  # fmt: skip


def test_counts_are_those_of_the_exported_tables(session, report_of, tmp_path):
    export_tables(session, tmp_path / "tables")
    expected = counted(tmp_path / "tables", SESSION)
    assert expected == {
        "Spikes emasculated": 7, "Stand at pass": 4, "Stand at review": 1, "Not checked": 2,
        "Bagged": 4, "Of them without a check that held": 1, "Checks recorded": 5,
        "Overrides recorded": 3,
    }  # fmt: skip
    told = pairs(report_of(session), "Spikes and verdicts")
    assert told.pop("Sent back by the audit, not checked anew") == "0"
    assert told == {name: str(count) for name, count in expected.items()}


def test_a_large_session_too_by_cross_and_person(store, report_of, tmp_path):
    build_session(store, count=60, faces=1)
    export_tables(store, tmp_path / "tables")
    report = report_of(store)
    told = pairs(report, "Spikes and verdicts")
    assert (
        told.items()
        >= {
            name: str(count) for name, count in counted(tmp_path / "tables", SESSION).items()
        }.items()
    )
    exported = rows(tmp_path / "tables" / "spikes.csv")
    for number, column in ((0, "cross"), (1, "emasculated_by")):
        shown = table(report, "Spikes and verdicts", number)
        groups = sorted({row[column] for row in exported})
        assert [row[0] for row in shown.rows] == [*groups, "All"]
        for group, spikes, passed, review, *_rest in shown.rows[:-1]:
            own = [row for row in exported if row[column] == group]
            verdicts = [row["verdict"] for row in own]
            assert (int(spikes), int(passed), int(review)) == (
                len(own), verdicts.count("pass"), verdicts.count("review"),
            )  # fmt: skip


def test_who_decided_what_and_why(session, report_of):
    report = report_of(session)
    overrides = table(report, "Overrides").rows
    assert [(row[0], row[2], row[3], row[4], row[6]) for row in overrides] == [
        ("C-1/2", "review", "pass", "Rut", "It was a palea."),
        ("C-1/2", "review", "pass", "Rut", "Seen again: it was."),
        ("C-2/1", "review", "pass", "Rut", "A hair."),
    ]
    (bag,) = table(report, "Bagged without a check").rows
    assert (bag[0], bag[1], bag[3]) == ("C-1/5", "Bo", "The camera was wet.")
    (review,) = table(report, "Spikes that stand at review").rows
    assert (review[0], review[2], review[3]) == ("C-1/3", "Bo", "no")
    assert review[4] == "Green anther in floret L2."
    listed = {row[0]: row[3] for row in table(report, "Spike by spike").rows}
    assert listed["C-1/2"] == "pass, by a person; computed: review"
    assert listed["C-1/6"] == "not checked"
    assert "C-2/2" not in listed  # of another session


def test_what_it_rests_on(session, report_of):
    report = report_of(session)
    told = pairs(report, "What this rests on")
    assert told["Checked with"] == "spikecheck 0.7"
    assert told["Network"] == f"florets 3, SHA-256 {'a' * 64}"
    assert told["Thresholds, SHA-256"] == "b" * 64
    assert told["Calibration"].startswith("own: of 399 marked spikes with a leftover 1 passed")
    assert told["This report"].endswith("09:30, by Rut")
    assert told["Hash of the history"] == session.head()
    command = [
        one.text for one in section(report, "What this rests on").blocks
        if isinstance(one, Text) and one.strong
    ]  # fmt: skip
    assert command == [f"spikecheck verify --head {session.head()}"]
    assert session.verify(head=session.head()).head_found


def test_the_hash_is_older_than_what_is_told(session, monkeypatch):
    """What is recorded while a report is made must not be vouched for by it."""
    before = session.head()
    read = session.sessions.one

    added = iter(["C-9"])

    def slow(session_id):
        for cross in added:
            session.plans.add(planned(cross, "Ferra", "Olmo"))
        return read(session_id)

    monkeypatch.setattr(session.sessions, "one", slow)
    facts = gather_session(session, SESSION, made_at=MADE, made_by="", zone=ZONE)
    assert facts.chain_head == before


def test_pictures_and_charts(session, report_of):
    report = report_of(session)
    (pictures,) = section(report, "Pictures of the checks that count").blocks
    assert isinstance(pictures, Pictures)
    assert len(pictures.shots) == 10
    assert pictures.shots[0].caption == "C-1/1, photo 1: pass"
    charts = [
        one for one in section(report, "Spikes and verdicts").blocks if isinstance(one, Figure)
    ]
    assert [one.chart.x_names for one in charts] == [("Bo (2)", "Ida (3)")]


def test_a_session_without_a_spike_has_a_report(session, report_of):
    facts = gather_session(session, "S-0505", made_at=MADE, made_by="", zone=ZONE)
    assert len(facts.spikes) == 1
    session.sessions.add(CrossingSession("empty", date(2026, 5, 6), "", ()))
    made = report_files(session, "empty", by="", zone=ZONE, at=MADE)
    assert b"No spike was emasculated in this session." in made.html


def test_an_unknown_session_is_refused(store):
    with pytest.raises(StoreError, match="no session S-9"):
        report_files(store, "S-9", by="", zone=ZONE)


def test_days_and_decimals_follow_the_language(session, report_of):
    with in_language(Language.SPANISH):
        report = report_of(session)
    assert report.language == "es"
    text = str(report)
    assert "4 may 2026" in text
    assert "1,0\N{NO-BREAK SPACE}%" in text or "1,0\\xa0%" in text
