"""`record …` and `spike …`: what happened to spikes."""

from __future__ import annotations

import re

import pytest

from spikecheck.store import open_store
from tests.cli.records.conftest import ago

PULLED = ("record", "emasculated", "C-1/1", "--florets", 20, "--anthers", 60)


def entry(done, spike, kind):
    """Number of the latest entry of a kind."""
    found = re.findall(rf"^Entry (\d+) .*: {kind}", done("spike", "show", spike), re.MULTILINE)
    return int(found[-1])


@pytest.mark.usefixtures("cross")
def test_a_spike_is_taken_all_the_way(done):
    assert "C-1/1: selected" in done("record", "selected", "C-1/1-2", "--stage", 55, "--at", ago(8))
    told = done(*PULLED, "--method", "clip", "--yellow", "--at", ago(7))
    assert "20 florets, 60 anthers pulled" in told
    assert "Next: Take photos and check by " in told
    done("record", "bagged", "C-1/1", "--unchecked", "no camera", "--at", ago(6.9))
    told = done("record", "pollinated", "C-1/1", "--pollen-at", ago(4.1), "--at", ago(4))
    assert "male Olmo" in told
    assert "Next: Put the bag back on" in told
    assert "re-bagged" in done("record", "rebagged", "C-1/1", "--at", ago(4), "--note", "windy")
    done("record", "harvested", "C-1/1", "--at", ago(1))
    told = done("record", "threshed", "C-1/1", "--basal", "3/6", "--central", "7 of 8", "--apical",
                "2/6", "--at", ago(0.5))  # fmt: skip
    assert "12 seeds of 20 florets" in told
    assert "1 selfed of 8 tested" in done(
        "record", "seed-tested", "C-1/1", "--tested", 8, "--selfed", 1
    )
    shown = done("spike", "show", "C-1/1")
    for words in (
        "selected, growth stage 55", "some turning yellow", "without a check that holds",
        "re-bagged (windy)", "basal 3 of 6", "Female Ferra, male Olmo, wheat",
    ):  # fmt: skip
        assert words in shown


@pytest.mark.usefixtures("bagged")
def test_controls_and_given_up_spikes_end_otherwise(done, refused):
    done("record", "control", "C-1/1", "--at", ago(5))
    assert "is a control spike" in refused("record", "pollinated", "C-1/1", "--at", ago(3))
    assert "given up" in done("record", "given-up", "C-1/2", "--why", "hail", "--at", ago(2))
    line = refused("record", "pollinated", "C-1/2", "--at", ago(1))
    assert "was given up on" in line
    assert "Take that entry back" in line


@pytest.mark.usefixtures("cross")
def test_remarks_are_told_below_the_spike(done):
    told = done("record", "emasculated", "C-1/1", "--florets", 20, "--anthers", 57)
    assert "    Look again: 3 of 60 anthers are not accounted for" in told
    assert "    Look again: Growth stage 70" in done("record", "selected", "C-1/2", "--stage", 70)


@pytest.mark.usefixtures("cross")
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("record", "selected", "C-9/1"), "no cross"),
        (("record", "selected", "C-1/0"), "numbered from 1"),
        (("record", "selected", "C-1/9-1"), "no range"),
        (("record", "selected", "C-1/x"), "does not list numbers"),
        (("record", "selected", ""), "names no spike"),
        (("record", "selected", "K7Q2 9XMU"), "names no spike"),
        (("record", "selected", "6PYX4C5Y"), "no spike has the tag 6PYX 4C5Y"),
        (("record", "selected", "C-1/1", "--at", "2199-01-01"), "lies in the future"),
        (("record", "selected", "C-1/1", "--at", "9999-12-31"), "in the year 9999"),
        (("record", "selected", "C-1/1", "--at", "0026-05-04"), "in the year 26"),
        (("record", "selected", "C-1/1", "--at", "2026-05-04 09.30"), "is no moment"),
        (("record", "selected", "C-1/1", "--at", "soon\x1b[2J"), "is no moment"),
        (("record", "selected", "C-1/1", "--by", ""), "who did it is empty"),
        (("record", "selected", "C-1/1", "--by", "a\x1b[31m"), "control character U+001B"),
        (("record", "selected", "C-1/1", "--note", "a\x07"), "control character U+0007"),
        (("record", "selected", "C-1/1", "--note", "n" * 4001), "the most is 4000"),
        (("record", "selected", "C-1/1", "--session", "S-9"), "S-9"),
        (("record", "selected", "C-1/1", "--stage", "100"), "--stage"),
        (("record", "selected", "C-1/1", "--reason", "x"), "--reason is for corrections"),
        (("record", "selected", "C-1/1", "--corrects", "1"), "a correction needs a reason"),
        (("record", "selected", "C-1/1-2", "--corrects", "1", "--reason", "x"), "one spike"),
        (("record", "selected", "C-1/1", "--corrects", "99", "--reason", "x"), "no entry 99"),
        (("record", "tagged", "C-1/1", "--tag", "K7Q2 9XMU"), "no tag's code"),
        (("record", "bagged", "C-1/1"), "was not emasculated yet"),
        (("record", "pollinated", "C-1/1"), "was not emasculated yet"),
        (("record", "rebagged", "C-1/1"), "was not pollinated yet"),
        (("record", "harvested", "C-1/1"), "was not pollinated yet"),
        (("record", "threshed", "C-1/1", "--seeds", "3", "--florets", "4"), "was not harvested"),
        (("record", "threshed", "C-1/1"), "no seeds are given"),
        (("record", "threshed", "C-1/1", "--seeds", "3"), "no florets are known"),
        (("record", "threshed", "C-1/1", "--basal", "3/6"), "third is not complete"),
        (("record", "threshed", "C-1/1", "--basal", "three"), "is not seeds of florets"),
        (("record", "threshed", "C-1/1", "--seeds", "5", "--florets", "4"), "cannot come from"),
        (("record", "seed-tested", "C-1/1", "--tested", "3", "--selfed", "4"), "cannot be"),
        (("record", "given-up", "C-1/1", "--why", " "), "the reason is empty"),
        (("record", "override", "C-1/1", "--reason", "palea"), "has no check"),
        (("record", "emasculated", "C-1/1", "--florets", "0", "--anthers", "0"), "--florets"),
        (("spike", "show", "C-1/1-3"), "names 3 spikes"),
        (("spike", "show", "C-1/0"), "numbered from 1"),
        (("spike", "list", "--cross", "C-1", "--session", "S"), "do not go together"),
        (("spike", "list", "--cross", "C-9"), "C-9"),
        (("spike", "list", "--session", "S-9"), "S-9"),
        (("spike", "take-back", "C-1/1", "7", "--reason", "x"), "no entry 7"),
        (("spike", "take-back", "C-1/1", "7", "--reason", ""), "needs a reason"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_one_line_and_leaves_nothing(done, refused, words, said):
    before = done("verify")
    assert said in refused(*words)
    assert done("verify") == before


@pytest.mark.usefixtures("bagged")
def test_another_male_needs_a_reason_and_a_name(done, refused):
    then = ("--at", ago(3))
    assert "planned with the male Olmo" in refused(
        "record", "pollinated", "C-1/1", "--male", "Tarn", *then
    )
    assert "is of the female Ferra itself" in refused(
        "record", "pollinated", "C-1/1", "--male", "Ferra", "--other-male", "x", *then
    )
    assert "the male is empty" in refused(
        "record", "pollinated", "C-1/1", "--male", " ", "--other-male", "x", *then
    )
    assert "pollen that is not shed yet" in refused(
        "record", "pollinated", "C-1/1", "--pollen-at", ago(2), *then
    )
    told = done(
        "record", "pollinated", "C-1/1", "--male", "Tarn", "--other-male", "Olmo late", *then
    )
    assert "Look again: The male is Tarn, planned was Olmo." in told


@pytest.mark.usefixtures("cross")
def test_a_tag_belongs_to_one_spike_and_names_it(done, refused):
    done("record", "tagged", "C-1/1", "--tag", "6pyx 4c5y")
    line = refused("record", "tagged", "C-1/2", "--tag", "6PYX4C5Y")
    assert "spike C-1/2: the tag 6PYX 4C5Y belongs to spike C-1/1" in line
    assert "C-1/1: selected" in done("record", "selected", "6PYX-4C5Y")
    assert "Tag 6PYX 4C5Y" in done("spike", "show", "6PYX4C5Y")
    assert "nothing happened yet" in done("spike", "show", "C-1/2")


@pytest.mark.usefixtures("bagged")
def test_an_entry_is_corrected_once(done, refused):
    number = entry(done, "C-1/1", "emasculated")
    fix = ("--florets", 19, "--anthers", 57, "--corrects", number, "--reason", "counted again")
    told = done("record", "emasculated", "C-1/1", *fix)
    assert "19 florets, 57 anthers pulled" in told
    newer = entry(done, "C-1/1", "emasculated")
    line = refused("record", "emasculated", "C-1/1", *fix)
    assert f"entry {number} was corrected by entry {newer} already" in line
    assert f"Correct entry {newer} instead" in line
    shown = done("spike", "show", "C-1/1")
    assert f"instead of entry {number}: counted again" in shown
    assert f"Entry {number} [corrected by entry {newer}, holds no more]  " in shown
    assert "is bagged" in refused(
        "record", "selected", "C-1/1", "--corrects", entry(done, "C-1/1", "bagged"), "--reason", "x"
    )


@pytest.mark.usefixtures("bagged")
def test_an_entry_is_taken_back_unless_others_rest_on_it(done, refused):
    first = entry(done, "C-1/1", "emasculated")
    assert "was not emasculated yet" in refused(
        "spike", "take-back", "C-1/1", first, "--reason", "other spike"
    )
    bag = entry(done, "C-1/1", "bagged")
    told = done("spike", "take-back", "C-1/1", bag, "--reason", "other spike")
    assert "C-1/1: emasculated" in told
    assert f"entry {bag} (bagged) is taken back: other spike" in done("spike", "show", "C-1/1")
    assert "no entry" in refused("spike", "take-back", "C-1/2", bag, "--reason", "again")


def test_text_of_others_cannot_steer_the_terminal(done):
    done("cross", "add", "[bold]x", "--female", "[red]F[/red]", "--male", ":smile:")
    done("record", "given-up", "[bold]x/1", "--why", "[link]hail[/link]\n\tlate", "--by", "[b]AB")
    for text in (done("spike", "show", "[bold]x/1"), done("spike", "list", "--cross", "[bold]x")):
        assert "[bold]x/1: given up" in text
        assert "[link]hail[/link]" in text
    assert "[b]AB" in done("spike", "show", "[bold]x/1")


@pytest.mark.usefixtures("bagged")
def test_lists_of_spikes(done):
    done("record", "given-up", "C-1/2", "--why", "hail")
    assert done("spike", "list").splitlines() == [
        f"C-1/1: bagged {ago(6)}, 20 florets, 60 anthers pulled"
    ]
    assert len(done("spike", "list", "--cross", "C-1").splitlines()) == 2
    done("cross", "add", "D-1", "--female", "Ferra", "--male", "Tarn")
    assert done("spike", "list", "--cross", "D-1").startswith("No spike.")


@pytest.mark.usefixtures("named_finder", "cross")
def test_an_override_sets_a_word_against_the_latest_check(done, run, make_photo, refused):
    done(*PULLED, "--at", ago(1))
    told = run("check", make_photo("left.jpg"), "--cross", "C-1", "--spike", 1, "--by", "AB")
    assert told.code == 1
    assert "stands at review" in refused("record", "bagged", "C-1/1")
    assert "the reason of the override is empty" in refused(
        "record", "override", "C-1/1", "--reason", " "
    )
    assert "checked (pass, overridden)" in done(
        "record", "override", "C-1/1", "--reason", "a palea"
    )
    assert "checked (review, overridden)" in done(
        "record", "override", "C-1/1", "--reason", "no, an anther", "--review"
    )
    number = entry(done, "C-1/1", "checked")
    assert "is a check or an override" in refused(
        "spike", "take-back", "C-1/1", number, "--reason", "x"
    )


def test_who_did_it_must_be_told(refused, monkeypatch, done):
    done("cross", "add", "C-1", "--female", "Ferra", "--male", "Olmo")
    monkeypatch.delenv("SPIKECHECK_BY")
    assert "--by" in refused("record", "selected", "C-1/1")


@pytest.mark.usefixtures("cross")
def test_a_long_list_is_recorded_as_a_whole(done, refused, records):
    done("record", "selected", "C-1/250", "--at", ago(1))
    assert "C-1/250: cannot be selected" in refused("record", "selected", "C-1/1-300")
    with open_store(str(records / "records")) as store:
        assert [one.spike for one in store.spikes.all()] == [250]
