"""A whole small season of an invented programme, through the public commands alone.

Set ``SPIKECHECK_PRINTED`` to a file to keep what was typed and printed.
"""

from __future__ import annotations

import json
import os
import re
import shlex
import subprocess
import sys
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import vobject

from tests.end_to_end.tag_photos import photo_with_tag, scale_of, tag_of_sheet

_COMMAND = Path(sys.executable).with_name("spikecheck")
_NOW = datetime.now(UTC)
_COLUMNS = (
    "cross", "female", "male", "purpose", "seeds_wanted", "project", "female_accession",
    "female_pedigree", "female_place",
)  # fmt: skip
PLAN = f"""{",".join(_COLUMNS)}
M-01,Alva,Brinn,stem rust,20,North,IN 113,Dorn/Esk,pot 7
M-02,Corvé 3,Brinn,short straw,10,North,,,
M-03,Alva,=Tarn,=early,,North,,,
"""


@dataclass
class Season:
    """A terminal in a folder of its own."""

    folder: Path
    lines: list[str] = field(default_factory=list)

    def run(self, *words: object, code: int = 0) -> str:
        """Type a command; return what it printed. It must end with ``code``."""
        command = [str(_COMMAND), *map(str, words)]
        environment = {
            **os.environ, "SPIKECHECK_STORE": str(self.folder / "records"),
            "SPIKECHECK_BY": "Ida", "SPIKECHECK_ZONE": "UTC", "COLUMNS": "110",
        }  # fmt: skip
        done = subprocess.run(
            command, check=False, capture_output=True, text=True, cwd=self.folder, env=environment
        )
        printed = done.stdout + done.stderr
        typed = shlex.join(command[1:])
        self.lines += [f"$ spikecheck {typed}", printed]
        assert done.returncode == code, f"{typed}\n{printed}"
        return printed


@pytest.fixture
def season(tmp_path: Path):
    made = Season(tmp_path)
    yield made
    kept = os.environ.get("SPIKECHECK_PRINTED")
    if kept:
        Path(kept).write_text("\n".join(made.lines), encoding="utf-8")


def ago(days: float, hours: float = 0.0) -> str:
    return f"{_NOW - timedelta(days=days, hours=hours):%Y-%m-%d %H:%M}"


def test_a_whole_season(season: Season):
    _plan(season)
    _print_and_prepare(season)
    _check_and_bag(season)
    _come_back(season)
    _harvest(season)
    _weigh(season)
    _hand_on(season)


def _plan(season: Season) -> None:
    (season.folder / "plan.csv").write_text(PLAN, encoding="utf-8")
    assert "3 crosses would be recorded" in season.run("plan", "take-in", "plan.csv", "--try")
    assert "No cross is recorded" in season.run("cross", "list")
    assert "Recorded 3 crosses" in season.run("plan", "take-in", "plan.csv")
    again = season.run("plan", "take-in", "plan.csv", code=2)
    assert "plan.csv, line 2: the cross M-01 is recorded already" in again
    assert "3 problems; nothing was recorded" in again
    assert "Alva: accession IN 113, pedigree Dorn/Esk, place pot 7" in season.run("parent", "list")


def _print_and_prepare(season: Season) -> None:
    printed = season.run("tags", "print", "M-01/1-4", "M-02/1", "--pdf", "tags.pdf")
    assert "5 tags in tags.pdf" in printed
    season.run("session", "add", "S-1", "--day", ago(50)[:10], "--place", "House 2",
               "--person", "Ida", "--person", "Bo")  # fmt: skip
    days = [f"{_NOW - timedelta(days=day):%Y-%m-%d} 11/{22 + day % 4}" for day in range(60, -1, -1)]
    assert "61 days" in season.run("temperatures", "add", "House 2", *days)
    season.run("record", "selected", "M-01/1-4", "M-02/1", "--stage", 55, "--at", ago(50, 3))
    cut = ("--florets", 20, "--method", "clip", "--session", "S-1", "--at", ago(50, 2))
    season.run("record", "emasculated", "M-01/1-3", "M-02/1", "--anthers", 60, *cut)
    short = season.run("record", "emasculated", "M-01/4", "--anthers", 57, *cut)
    assert "3 of 60 anthers are not accounted for" in short
    counted = season.run(
        "record", "emasculated", "M-01/4", "--florets", 19, "--anthers", 57, "--method", "clip",
        "--corrects", _entry(season, "M-01/4", "emasculated"), "--reason", "19 florets, not 20",
    )  # fmt: skip
    assert "M-01/4: emasculated" in counted
    assert "19 florets, 57 anthers pulled" in counted
    assert "M-01/1: spikes" not in season.run("agenda")
    assert "Take photos and check" in season.run("agenda")


def _check_and_bag(season: Season) -> None:
    clean, ripe = "clean_00570", "leftover_yellow_00524"
    for place, name in enumerate(("M-01/1", "M-01/2", "M-01/3", "M-01/4")):
        demo = ripe if name == "M-01/3" else clean
        tag = tag_of_sheet(season.folder / "tags.pdf", place, px_per_mm=scale_of(demo))
        for face, mirrored in (("front", False), ("back", True)):
            path = season.folder / f"{place}_{face}.jpg"
            photo_with_tag(demo, tag, path, mirrored=mirrored)
    wrong = season.run(
        "check", "0_front.jpg", "--cross", "M-02", "--spike", 1, "--by", "Ida", code=2
    )
    assert "belongs to spike M-01/1, not to M-02/1" in wrong
    seen = season.run("tags", "read", "0_front.jpg")
    scale = float(re.search(r"([\d.]+) px/mm", seen)[1])
    assert scale == pytest.approx(scale_of(clean), rel=0.02)
    assert "cannot be bagged" in season.run("record", "bagged", "M-01/1", code=2)
    soon = ("--by", "Ida", "--at", ago(50, 1))
    for place, name in ((1, "M-01/2"), (3, "M-01/4")):
        told = season.run("check", f"{place}_front.jpg", *soon)
        assert "PASS" in told
        assert f"beside cross M-01, spike {name[-1]}, by Ida" in told
    # The networks take something on its other face for a ripe anther; a person looks and decides.
    season.run("check", "0_front.jpg", "0_back.jpg", *soon, code=1)
    season.run("record", "override", "M-01/1", "--reason", "a fold of the palea, seen by lens",
               "--at", ago(50, 0.8))  # fmt: skip
    expired = season.run("record", "bagged", "M-01/2", "--at", ago(46), code=2)
    assert "held until" in expired
    assert "Check it again" in expired
    bagged = season.run("record", "bagged", "M-01/1-2", "M-01/4", "--at", ago(50, 0.5))
    assert "Next: Pollinate with Brinn: from " in bagged
    told = season.run("check", "2_front.jpg", "2_back.jpg", *soon, code=1)
    assert "Too close to anthesis" in told
    refused = season.run("record", "bagged", "M-01/3", "--at", ago(50, 0.5), code=2)
    assert "stands at review" in refused
    assert "an anther near anthesis seen" in season.run("spike", "show", "M-01/3")
    season.run("record", "given-up", "M-01/3", "--why", "too close to anthesis")


def _come_back(season: Season) -> None:
    season.run("record", "control", "M-01/4", "--at", ago(50))
    due = season.run("agenda", "--all", "--calendar", "crossing.ics")
    assert "Overdue" in due
    assert "M-01: spikes 1\N{EN DASH}2: Pollinate with Brinn" in due
    calendar = vobject.readOne((season.folder / "crossing.ics").read_text(encoding="utf-8"))
    assert any("Pollinate" in event.summary.value for event in calendar.vevent_list)
    then = ("--at", ago(46))
    refused = season.run("record", "pollinated", "M-01/1", "--male", "Alva", *then, code=2)
    assert "is of the female Alva itself" in refused
    assert "is a control spike" in season.run("record", "pollinated", "M-01/4", *then, code=2)
    before = season.run("record", "pollinated", "M-01/1", "--at", ago(50, 2.5), code=2)
    assert "was not emasculated yet" in before
    assert "Next: Put the bag back on" in season.run("record", "pollinated", "M-01/1-2", *then)
    assert "Next: Harvest: from " in season.run("record", "rebagged", "M-01/1-2", *then)


def _harvest(season: Season) -> None:
    cut = season.run("record", "harvested", "M-01/1-2", "M-01/4", "--at", ago(1))
    assert "Next: Thresh and count seeds" in cut
    season.run("record", "threshed", "M-01/1", "--basal", "4/6", "--central", "6/8",
               "--apical", "3/6")  # fmt: skip
    season.run("record", "threshed", "M-01/2", "--seeds", 9)
    assert "0 seeds of 19 florets" in season.run("record", "threshed", "M-01/4", "--seeds", 0)
    impossible = season.run(
        "record", "seed-tested", "M-01/2", "--tested", 10, "--selfed", 0, code=2
    )
    assert "gave 9 seeds, 10 cannot have been tested" in impossible
    season.run("record", "seed-tested", "M-01/1", "--tested", 8, "--selfed", 0)


def _weigh(season: Season) -> None:
    told = season.run("outcomes", "--by", "technician", "--bound", 5)
    assert "22 of 40 florets set seed, 55 %" in told
    assert "0 of 19 control florets set selfed seed" in told
    # 59 florets without a seed show 5 % (exact binomial, 1 - 0.05^(1/59) = 0.0495): 40 more.
    assert "40 more control florets to the 19 there are" in told
    assert "Too little to say: 2 spikes" in season.run("numbers", "estimate")


def _hand_on(season: Season) -> None:
    season.run("export", "tables")
    plan = (season.folder / "tables" / "plan.csv").read_text(encoding="utf-8-sig")
    assert "Corvé 3" in plan
    assert ",'=Tarn," in plan, "a spreadsheet must not take it for a formula"
    season.run("brapi", "write", "for_others")
    crosses = json.loads((season.folder / "for_others" / "crosses.json").read_text("utf-8"))
    assert len(crosses["result"]["data"]) == 5
    verified = season.run("verify")
    head = re.search(r"Head of the chain: (\w{64})", verified)[1]
    season.run("backup", "season.zip")
    season.run("restore", "season.zip", "--store", "again")
    restored = season.run("verify", "--store", "again", "--head", head)
    assert "The hash written down earlier stands in the chain" in restored
    assert season.run("spike", "show", "M-01/1", "--store", "again") == season.run(
        "spike", "show", "M-01/1"
    )
    season.run("plan", "take-in", "tables/plan.csv", "--store", "elsewhere")
    listed = season.run("parent", "list", "--store", "elsewhere")
    assert "=Tarn" in listed
    assert "'=Tarn" not in listed, "what was neutralised is read back as it was"
    taken = season.run("brapi", "read", "for_others", "--store", "elsewhere")
    assert "what happened to 5 spikes" in taken
    assert re.search(r"Left out: \d+ checks? with \d+ photos?\. Photos do not travel", taken)


def _entry(season: Season, spike: str, what: str) -> str:
    for line in season.run("spike", "show", spike).splitlines():
        found = re.match(rf"Entry (\d+) .*: {what}", line)
        if found:
            return found[1]
    raise AssertionError(f"{spike} has no entry {what}")
