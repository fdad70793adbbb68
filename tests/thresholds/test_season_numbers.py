"""The season's numbers: documented, used, editable, and apart from what judges a photo."""

from __future__ import annotations

import dataclasses
import math
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import spikecheck
from spikecheck.errors import ThresholdError, UsageError
from spikecheck.thresholds import load_thresholds
from spikecheck.thresholds.loading import read_group_text
from spikecheck.thresholds.season import (
    CROPS,
    Basis,
    changed_numbers,
    load_refit,
    load_season_numbers,
    numbers_with,
    refit_list,
)
from spikecheck.thresholds.season.loading import parse_crop

PACKAGE = Path(spikecheck.__file__).parent
FOLDER = PACKAGE / "thresholds" / "season"
SOURCES = [
    path.read_text(encoding="utf-8")
    for path in PACKAGE.rglob("*.py")
    if "thresholds" not in path.relative_to(PACKAGE).parts
]
EVERY = [(crop, entry) for crop in CROPS for entry in load_season_numbers(crop).entries]
WHEAT = load_season_numbers("wheat")


def test_every_file_is_a_crop_or_the_refit():
    assert {path.stem for path in FOLDER.glob("*.toml")} == {*CROPS, "refit"} - {"durum"}


@pytest.mark.parametrize(("crop", "entry"), EVERY, ids=lambda part: getattr(part, "name", part))
def test_every_number_says_what_it_is_why_and_from_where(crop, entry):
    assert math.isfinite(entry.value)
    assert entry.least <= entry.value <= entry.most
    assert entry.unit.strip()
    assert len(entry.reason.split()) >= 4, "a reason is a sentence"
    assert len(entry.source.split()) >= 2, "a source can be looked up"
    assert ("memory" in entry.source) == (entry.basis is Basis.FROM_MEMORY)
    assert not entry.changed


@pytest.mark.parametrize("threshold", refit_list(), ids=lambda one: one.name)
def test_every_threshold_of_the_refit_is_documented(threshold):
    assert len(threshold.reason.split()) >= 4
    assert len(threshold.source.split()) >= 2
    assert getattr(load_refit(), threshold.name) == threshold.value


@pytest.mark.parametrize("name", [one.name for one in (*WHEAT.entries, *refit_list())])
def test_every_number_decides_something(name):
    assert any(re.search(rf"\.{name}\b", text) for text in SOURCES)


def test_the_fields_hold_the_numbers_of_the_entries():
    for crop in CROPS:
        numbers = load_season_numbers(crop)
        fields = dataclasses.asdict(numbers)
        assert {entry.name: entry.value for entry in numbers.entries} == {
            name: value for name, value in fields.items() if name not in ("crop", "entries")
        }


@pytest.mark.parametrize(
    ("crop", "name", "value"),
    [
        ("wheat", "base_c", 0),  # FAO X8234E, section 6 (Rawson & Macpherson 2000)
        ("wheat", "upper_c", 30),  # the same
        ("wheat", "harvest_least", 937),  # 26 winter wheat cultivars, 2 years, base 0
        ("wheat", "harvest_most", 956),  # the same
        ("wheat", "anthers_per_floret", 48 / 16),  # Hayes & Garber 1921, p. 71
        ("rice", "anthers_per_floret", 6),
        ("rice", "receptive_last", 5 * 28),  # Yoshida 1981, p. 57: 3 to 7 days
    ],
)
def test_published_values(crop, name, value):
    assert getattr(load_season_numbers(crop), name) == value


def test_a_crop_without_a_number_takes_wheats_and_says_so():
    assert set(load_season_numbers("durum").borrowed) == {one.name for one in WHEAT.entries}
    assert load_season_numbers("durum").harvest == WHEAT.harvest
    assert load_season_numbers("grown nowhere").entry("base_c").crop == "wheat"
    barley = load_season_numbers("barley")
    assert barley.entry("receptive_last").crop == "barley"
    assert "receptive_best" in barley.borrowed
    assert WHEAT.borrowed == ()


def test_they_are_no_part_of_what_is_recorded_with_a_photo_check():
    assert "season" not in {field.name for field in dataclasses.fields(load_thresholds())}


def test_a_change_is_told_and_taken_back():
    changed = numbers_with(WHEAT, {"receptive_best": 60.5, "base_c": 0})
    assert changed.receptive_best == 60.5
    assert [entry.name for entry in changed.entries if entry.changed] == ["receptive_best"]
    assert changed.entry("receptive_best").default == WHEAT.receptive_best
    assert numbers_with(changed, {"receptive_best": WHEAT.receptive_best}) == WHEAT


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"recptive_best": 50}, "no number 'recptive_best'"),
        ({"base_c": 99}, "base_c 99 cannot be. Give -5 to 12 degrees C"),
        ({"harvest": math.nan}, "cannot be"),
        ({"harvest": math.inf}, "cannot be"),
        ({"receptive_best": 200}, "receptive_best 200 is above receptive_last 153"),
        ({"valid_near_anthesis": 21}, "is above valid_clean 20"),
        ({"assumed_c": 3, "base_c": 3}, "base_c 3 is not below assumed_c 3"),
    ],
)
def test_a_change_that_cannot_be_is_refused(changes, said):
    for changing in (numbers_with, changed_numbers):
        with pytest.raises(UsageError, match=re.escape(said)):
            changing(WHEAT, changes)


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("anthers_per_floret", 2.5, "2.5 cannot be. Give a whole number, 1 to 6 anthers"),
        ("stage_least", 48.5, "48.5 cannot be. Give a whole number, "),
        ("stage_most", 57.01, "57.01 cannot be. Give a whole number, "),
    ],
)
def test_no_part_is_taken_of_what_is_counted_but_older_records_that_hold_one_are_read(
    name, value, said
):
    with pytest.raises(UsageError, match=re.escape(f"{name} {said}")):
        changed_numbers(WHEAT, {name: value})
    assert getattr(numbers_with(WHEAT, {name: value}), name) == value
    older = numbers_with(WHEAT, {name: value})
    whole = float(round(value))
    assert getattr(changed_numbers(older, {name: whole}), name) == whole
    assert changed_numbers(older, {"base_c": 0.5}).base_c == 0.5


@pytest.mark.parametrize("crop", CROPS)
def test_every_number_in_anthers_or_of_a_code_is_counted_and_no_other(crop):
    for one in load_season_numbers(crop).entries:
        assert one.counted == (one.unit in ("anthers", "BBCH (Zadoks) code"))
        assert not one.counted or (one.value % 1, one.least % 1, one.most % 1) == (0, 0, 0)


@given(
    st.dictionaries(
        st.sampled_from([one.name for one in WHEAT.entries]), st.floats(-100, 3000), max_size=4
    )
)
def test_what_is_taken_is_in_range_and_in_order(changes):
    try:
        changed = numbers_with(WHEAT, changes)
    except UsageError:
        return
    assert all(one.least <= one.value <= one.most for one in changed.entries)
    assert changed.receptive_first <= changed.receptive_best <= changed.receptive_last
    assert changed.harvest_least <= changed.harvest <= changed.harvest_most


GOOD = read_group_text("season/wheat")


@pytest.mark.parametrize(
    ("crop", "text", "said"),
    [
        ("wheat", "[base_c", "not valid TOML"),
        ("wheat", GOOD.replace("[base_c]", "[bass_c]"), "unknown numbers: base_c, bass_c"),
        ("barley", GOOD, "needs exactly the entries"),
        ("wheat", GOOD.replace("basis =", "bases =", 1), "needs exactly the entries"),
        ("wheat", GOOD.replace("value = 0", 'value = "none"', 1), "value is no number: 'none'"),
        ("wheat", GOOD.replace("most = 12", "most = inf", 1), "most is no number"),
        ("wheat", GOOD.replace('"published"', '"hearsay"', 1), "basis is none of"),
        ("wheat", GOOD.replace('unit = "degrees C"', 'unit = " "', 1), "need text"),
    ],
)
def test_what_is_wrong_with_a_file_is_told(crop, text, said):
    with pytest.raises(ThresholdError, match=said):
        parse_crop(text, crop=crop)
