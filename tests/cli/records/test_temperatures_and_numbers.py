"""`temperatures …` and `numbers …`."""

from __future__ import annotations

import pytest
from PIL import Image

LOGGER = "Date,Time,Temp (°C)\n2026-05-04,08:00,12.5\n2026-05-04,09:00,13.5\n"


def test_typed_days_a_logger_and_a_room_are_shown(done, records):
    told = done("temperatures", "add", "House 2", "2026-05-05 9/23", "2026-05-04 8/21")
    assert told == ("Recorded temperatures of House 2: 2 days, 2026-05-04 to 2026-05-05\n")
    (records / "logger.csv").write_text(LOGGER, encoding="utf-8")
    told = done("temperatures", "take-in", "House 2", "logger.csv", "--zone", "Asia/Tokyo")
    # Nine hours earlier than in Tokyo, and the same wherever it is told.
    reach = "2 readings, 2026-05-03 23:00 to 2026-05-04 00:00 (UTC)"
    assert reach in told
    told = done("temperatures", "constant", "Chamber", 20.5, "--start", "2026-05-01",
                "--end", "2026-05-03 09:00")  # fmt: skip
    assert "20.5 °C from 2026-05-01 12:00 to 2026-05-03 09:00 (UTC)" in told
    first, second, *_ = done("temperatures", "show", "House 2").splitlines()
    assert first.startswith("2 days, 2026-05-04 to 2026-05-05, recorded ")
    assert second.startswith(f"{reach}, from logger.csv, recorded ")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (LOGGER.replace("°C", "°F"), "degrees F"),
        (LOGGER.replace("12.5", "54.5 F"), "line 2"),
        (LOGGER.replace("12.5", "warm"), "line 2"),
        (LOGGER.replace("12.5", "99"), "line 2"),
        (LOGGER.replace("2026-05-04,08:00", "0026-05-04,08:00"), ""),
        ("", "logger.csv"),
        ("a,b\n1,2\n", "logger.csv"),
    ],
)
def test_a_table_that_cannot_be_is_one_line(refused, done, records, text, said):
    (records / "logger.csv").write_text(text, encoding="utf-8")
    before = done("verify")
    assert said in refused("temperatures", "take-in", "House 2", "logger.csv")
    assert done("verify") == before


def test_a_photo_a_folder_and_nothing_are_no_tables(refused, records):
    Image.new("RGB", (40, 30)).save(records / "photo.jpg")
    assert "photo.jpg" in refused("temperatures", "take-in", "House 2", "photo.jpg")
    assert "Is a directory" in refused("temperatures", "take-in", "House 2", records)
    assert "No such file" in refused("temperatures", "take-in", "House 2", "none.csv")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("add", "House 2", "2026-05-04 21/8"), "above the highest"),
        (("add", "House 2", "2026-05-04"), "is not like"),
        (("add", "House 2", "yesterday 8/21"), "is no day"),
        (("add", "House 2", "2026-05-04 8/21", "2026-05-04 9/21"), "given twice"),
        (("add", "House 2", "2026-05-04 46F/70F"), "degrees C"),
        (("add", "House 2", "9999-12-31 8/21"), "the year 9999 cannot be"),
        (("add", "House 2", "0001-01-01 8/21"), "the year 1 cannot be"),
        (("add", "", "2026-05-04 8/21"), "the place is empty"),
        (("add", "a\x1b", "2026-05-04 8/21"), "control character U+001B"),
        (("add", "House 2", "2026-05-04 8/21", "--by", ""), "who records is empty"),
        (("add", "House 2", "2026-05-04 8/21", "--zone", "Rome"), "no time zone is called Rome"),
        (("constant", "Chamber", "nan"), "cannot be an air temperature"),
        (("constant", "Chamber", "68"), "cannot be an air temperature"),
        (("constant", "Chamber", "55"), "no crop is kept at 55 degrees C"),
        (("constant", "Chamber", "20", "--start", "9999-06-01"), "in the year 9999"),
        (
            ("constant", "Chamber", "20", "--start", "2026-05-02", "--end", "2026-05-01"),
            "not after",
        ),
        (("show", "House 9"), "no temperature of House 9 is recorded"),
    ],
)
def test_what_cannot_be_is_one_line_and_leaves_nothing(done, refused, words, said):
    before = done("verify")
    assert said in refused("temperatures", *words)
    assert done("verify") == before


def test_numbers_are_shown_with_source_and_basis_and_changed(done):
    shown = done("numbers", "show", "--crop", "Barley")
    assert shown.count("    Source: ") == shown.count("\n    Source: ") > 15
    assert "receptive_best = " in shown
    told = done("numbers", "change", "receptive_best", 65, "--reason", "own trial")
    assert told.startswith("Changed receptive_best = 65 degree-days")
    assert "changed; shipped 54" in told
    assert "changed; shipped 54" in done("numbers", "show")
    assert "changed; shipped" not in done("numbers", "show", "--crop", "barley")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("show", "--crop", "maize"), "no crop is called maize"),
        (("change", "base_c", "13", "--reason", "x"), "Give -5 to 12 degrees C"),
        (("change", "base_c", "nan", "--reason", "x"), "base_c nan cannot be"),
        (("change", "upper_c", "inf", "--reason", "x"), "upper_c inf cannot be"),
        (("change", "base", "1", "--reason", "x"), "there is no number 'base'"),
        (("change", "base_c", "warm", "--reason", "x"), "VALUE"),
        (("change", "base_c", "1", "--reason", " "), "the reason of the change is empty"),
        (("change", "base_c", "1"), "--reason"),
        (("change", "receptive_best", "10", "--reason", "x"), ""),
        (("change", "base_c", "1", "--reason", "x", "--by", ""), "who changes is empty"),
    ],
)
def test_numbers_out_of_range_are_one_line_and_leave_nothing(done, refused, words, said):
    before = done("verify")
    assert said in refused("numbers", *words)
    assert done("verify") == before


def test_too_few_spikes_give_no_estimate(done, run):
    assert "Too little to say: 0 spikes" in done("numbers", "estimate")
    ended = run("numbers", "estimate", "--take")
    assert ended.code == 2
    assert "Too little to say" in ended.err
    assert ended.err.count("\n") == 1
