"""`audit …`: a session is audited from plan to labels by commands alone."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from spikecheck.store import open_store
from tests.audited_session import SESSION, build_session

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def session(records: Path) -> None:
    """A session of ten spikes in the records."""
    with open_store(str(records / "records")) as store:
        build_session(store, count=10)


def sample(text: str) -> list[str]:
    return re.findall(r"^(C-0504-\d+/\d+)$", text, re.MULTILINE)


@pytest.mark.usefixtures("session")
def test_a_session_is_audited_by_commands(done, refused, records):
    assert "No sample is drawn yet; 9 spikes could be drawn." in done("audit", "show", SESSION)
    # Of three spikes each of three people four are drawn: two people at the least have a share.
    planned = done("audit", "plan", SESSION, "--detect", 0.4)
    assert "For reference, ISO 2859-1" in planned
    told = done("audit", "draw", SESSION, "--detect", 0.4, "--by", "Gro")
    assert planned.splitlines()[0] in told
    drawn = sample(told)
    assert len(drawn) > 3
    assert f"Look at {len(drawn)} of 9 spikes" in told
    bad, *clean = drawn
    assert "read a second time first" in refused("audit", "decide", bad, "--confirm", "--by", "Gro")
    done("audit", "reading", bad, "--left", "1:L5", "--left", "2:50,100", "--by", "Gro")
    assert "was read again already" in refused("audit", "reading", bad, "--clean", "--by", "Mo")
    for name in clean:
        known = () if name != clean[0] else ("--not-blind",)
        done("audit", "reading", name, "--clean", "--by", "Gro", "--note", "dry", *known)
    assert "nothing left, not blind" in done("spike", "show", clean[0])
    assert "To be decided" in done("audit", "show", SESSION)
    assert "sending a spike back needs a reason" in refused(
        "audit", "decide", bad, "--send-back", "--by", "Gro"
    )
    told = done("audit", "decide", bad, "--send-back", "--reason", "a green tip",
                "--left", "2:50,100", "--by", "Gro")  # fmt: skip
    assert "sent back by an audit: the check holds no more" in told
    again = ("audit", "decide", bad, "--send-back", "--reason", "two tips", "--left", "2:50,100")
    assert "was sent back by Gro on " in refused(*again, "--by", "Mo")
    done(*again, "--by", "Mo", "--anew")
    assert "Next: An audit sent it back: open the bag, look again and check" in told
    for name in clean:
        done("audit", "decide", name, "--confirm", "--clean", "--by", "Gro")
    shown = done("audit", "show", SESSION)
    for words in ("The session does not pass", "Second reader and the verdict that stood",
                  f"{bad} sent back by Mo: two tips", "Bad spikes by technician"):  # fmt: skip
        assert words in shown
    told = done("audit", "labels", SESSION, "--to", records / "labels")
    assert f"1 spikes with a leftover, {len(clean)} clean; 0 left out" in told
    assert "read again, review" in done("spike", "show", bad)
    assert "belongs to an audit" in refused(
        "spike", "take-back", bad,
        re.findall(r"^Entry (\d+) .*: decided", done("spike", "show", bad), re.MULTILINE)[0],
        "--reason", "x",
    )  # fmt: skip
    assert "sent back by an audit" in refused("record", "pollinated", bad)
    done("verify")


@pytest.mark.usefixtures("session")
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("show", "S-9"), "no session S-9"),
        (("plan", SESSION, "--detect", 2), "a share to notice"),
        (("plan", SESSION, "--miss", 0), "a risk lies between"),
        (("reading", "C-0504-000/1", "--clean"), "was not drawn for an audit"),
        (("reading", "C-0504-000/1"), "a reading says one thing"),
        (("reading", "C-0504-000/1", "--clean", "--unsure"), "a reading says one thing"),
        (("reading", "C-0504-000/1", "--left", "5:L1"), "has no photo 5"),
        (("reading", "C-0504-000/1", "--left", "here"), "names no place"),
        (("decide", "C-0504-000/1"), "a decision says one thing"),
        (("decide", "C-0504-000/1", "--confirm", "--clean", "--left", "1:L1"), "cannot be clean"),
        (("labels", SESSION, "--to", "x"), "no labels"),
    ],
)
def test_refusals(refused, words, said):
    assert said in refused("audit", *words)
