"""How a spike stands, and what its entries say, in words."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from spikecheck.bookkeeping.crops import known_crop
from spikecheck.bookkeeping.entry_text import entry_words
from spikecheck.bookkeeping.standing import last_step, standing_line
from spikecheck.errors import UsageError
from spikecheck.thresholds.season import CROPS, load_season_numbers
from spikecheck.vocabulary import Entry, SpikeRecord, Step, StepKind, Verdict
from spikecheck.vocabulary.audit_steps import (
    AuditDecided,
    AuditDecision,
    DrawnForAudit,
    LeftoverMark,
    Leftovers,
    ReadAgain,
)
from spikecheck.vocabulary.steps import (
    Bagged,
    Checked,
    Emasculated,
    GivenUp,
    Harvested,
    KeptAsControl,
    Overridden,
    Pollinated,
    Rebagged,
    SeedTested,
    Selected,
    Tagged,
    ThirdCount,
    Threshed,
    kind_of,
)
from tests.bookkeeping.invented import CUT, DAY, HOUR

THIRDS = (ThirdCount(3, 6), ThirdCount(7, 8), ThirdCount(2, 6))
MARKS = (LeftoverMark("cd" * 32, floret="L2"), LeftoverMark("cd" * 32, 40, 30))
SAID = [
    (Selected(), "selected"),
    (Selected(55), "selected, growth stage 55"),
    (Tagged("K7Q29XMT"), "tagged, tag K7Q2 9XMT"),
    (Emasculated(20, 59), "emasculated, 20 florets, 59 anthers pulled"),
    (Emasculated(1, 1), "emasculated, 1 floret, 1 anther pulled"),
    (Threshed(1, 1), "threshed, 1 seed of 1 floret"),
    (Emasculated(20, 59, "clip", near_anthesis=True),
     "emasculated, 20 florets, 59 anthers pulled, clip, some turning yellow"),
    (Checked(7, Verdict.REVIEW, True, "", (), ()),
     "checked, review (check 7), an anther near anthesis seen"),
    (Checked(7, Verdict.PASS, False, "", (), ()), "checked, pass (check 7)"),
    (Overridden(7, Verdict.PASS, "palea"), "overridden, check 7 set to pass: palea"),
    (KeptAsControl(), "kept as control"),
    (Bagged(), "bagged"),
    (Bagged("rain"), "bagged, without a check that holds: rain"),
    (DrawnForAudit("ab" * 32, 200, 41, 0),
     "drawn for audit, 41 of 200 spikes, passes with 0 bad at most (chain head abababababab)"),
    (ReadAgain(7, Verdict.PASS, Leftovers.NONE), "read again, pass (check 7), nothing left"),
    (ReadAgain(None, Verdict.REVIEW, Leftovers.UNSURE),
     "read again, review, not sure whether anything is left"),
    (ReadAgain(7, Verdict.REVIEW, Leftovers.MARKED, MARKS),
     "read again, review (check 7), left: L2; row 40, column 30 of photo cdcdcdcd"),
    (AuditDecided(7, AuditDecision.CONFIRMED, "", Leftovers.NONE),
     "decided, check 7 is confirmed, nothing left"),
    (AuditDecided(None, AuditDecision.SENT_BACK, "a tip"),
     "decided, the spike is sent back, not sure whether anything is left: a tip"),
    (Pollinated("Olmo"), "pollinated, male Olmo"),
    (Pollinated("Tarn", None, "shed"), "pollinated, male Tarn, not as planned: shed"),
    (Rebagged(), "re-bagged"),
    (Harvested(), "harvested"),
    (Threshed(12, 20), "threshed, 12 seeds of 20 florets"),
    (Threshed(12, 20, THIRDS),
     "threshed, 12 seeds of 20 florets (basal 3 of 6, central 7 of 8, apical 2 of 6)"),
    (SeedTested(8, 1), "seed tested, 1 selfed of 8 tested"),
    (GivenUp("hail"), "given up, hail"),
]  # fmt: skip


def entry(detail, **more):
    step = Step(detail, CUT, "Ida", session=more.pop("session", ""), note=more.pop("note", ""))
    fields = {"corrects": None, "recorded_by": "Ida"} | more
    return Entry(5, kind_of(detail), step, recorded_at=CUT, **fields)


@pytest.mark.parametrize(("detail", "said"), SAID)
def test_every_kind_of_step_has_words(detail, said):
    assert entry_words(entry(detail)) == said


def test_no_kind_of_step_is_left_out():
    assert {kind_of(detail) for detail, _ in SAID} == set(StepKind)


def test_session_note_and_correction_are_told():
    assert entry_words(entry(Bagged(), session="S-1", note="windy\n late")) == (
        "bagged, session S-1 (windy late)"
    )
    changed = entry(Bagged(), corrects=3, reason="wrong day")
    assert entry_words(changed) == "bagged; instead of entry 3: wrong day"
    assert entry_words(replace(changed, recorded_by="Bo")).endswith("wrong day [Bo]")
    back = Entry(6, StepKind.SEED_TESTED, None, 3, CUT, "Bo", "other spike")
    assert entry_words(back) == "entry 3 (seed tested) is taken back: other spike"


BARE = SpikeRecord("C-1", 3, "wheat", "Ferra", "Olmo")
WAY = {
    "selected_at": CUT, "emasculated_at": CUT + HOUR, "checked_at": CUT + 2 * HOUR,
    "bagged_at": CUT + 3 * HOUR, "pollinated_at": CUT + DAY, "rebagged_at": CUT + 2 * DAY,
    "harvested_at": CUT + 3 * DAY, "threshed_at": CUT + 4 * DAY, "given_up_at": CUT + 5 * DAY,
}  # fmt: skip


def test_the_last_step_is_told_at_each_place_of_the_way():
    words = ["selected", "emasculated", "checked (pass)", "bagged", "pollinated", "re-bagged",
             "harvested", "threshed", "given up"]  # fmt: skip
    fields = {"verdict": Verdict.PASS}
    assert last_step(BARE) == ("nothing happened yet", None)
    assert last_step(replace(BARE, tag="K7Q29XMT")) == ("tagged", None)
    for said, (name, moment) in zip(words, WAY.items(), strict=True):
        fields[name] = moment
        assert last_step(replace(BARE, **fields)) == (said, moment)


def test_of_the_steps_before_the_bag_the_later_one_is_told():
    early = replace(BARE, checked_at=CUT, verdict=Verdict.REVIEW, emasculated_at=CUT + HOUR)
    assert last_step(early)[0] == "emasculated"
    later = replace(early, checked_at=CUT + DAY, verdict=Verdict.PASS, overridden=True)
    assert last_step(later) == ("checked (pass, overridden)", CUT + DAY)


def test_a_line_holds_what_is_known():
    record = replace(
        BARE, emasculated_at=CUT, florets=20, anthers=59, pollinated_at=CUT + DAY,
        pollinated_male="Tarn",
    )  # fmt: skip
    assert standing_line(record, ZoneInfo("Asia/Tokyo")) == (
        "C-1/3: pollinated 2026-05-11 21:00, 20 florets, 59 anthers pulled, male Tarn"
    )
    done = replace(record, threshed_at=CUT + 2 * DAY, seeds=0, seed_florets=19, control=True)
    assert standing_line(done, ZoneInfo("UTC")) == (
        "C-1/3: threshed 2026-05-12 12:00, control, male Tarn, 0 seeds of 19 florets"
    )
    tested = replace(done, tested=5, selfed=0)
    assert standing_line(tested, ZoneInfo("UTC")).endswith(", 0 selfed of 5 tested")
    lost = replace(BARE, given_up_at=CUT, given_up_reason="hail")
    assert standing_line(lost, ZoneInfo("UTC")) == "C-1/3: given up 2026-05-10 12:00, hail"
    assert standing_line(BARE, ZoneInfo("UTC")) == "C-1/3: nothing happened yet"


def test_crops_are_those_that_have_numbers():
    for crop in CROPS:
        assert known_crop(f" {crop.upper()} ") == crop
        assert load_season_numbers(crop).crop == crop
    for odd in ("", "whaet", "maize", "../wheat"):
        with pytest.raises(UsageError, match="no crop is called") as refused:
            known_crop(odd)
        assert "barley" in refused.value.cure
