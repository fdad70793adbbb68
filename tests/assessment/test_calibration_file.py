"""Calibration files: every digit comes back, and what does not fit is refused in one line."""

from __future__ import annotations

import tomllib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.assessment.calibration_file import (
    calibration_of,
    calibration_toml,
    read_calibration,
    write_calibration,
)
from spikecheck.errors import CalibrationError, OutputError
from spikecheck.vocabulary import Calibration, ModelIdentity

NETWORK = ModelIdentity("florets", "1", "ab" * 32)
OWN = Calibration(
    "own photos, glasshouse 2", float(np.nextafter(0.2, 0)), 199, 1, 0.01, 0.01, "cd" * 32
)


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "calibration.toml"
    write_calibration(OWN, path, model=NETWORK)
    return path


def test_what_is_written_is_read(file):
    assert read_calibration(file, model=NETWORK) == OWN


def test_the_file_names_its_schema_and_its_network(file):
    content = tomllib.loads(file.read_text(encoding="utf-8"))
    assert content["schema"] == "spikecheck.calibration/1"
    assert content["model"] == {"name": "florets", "version": "1", "sha256": "ab" * 32}


@given(
    name=st.text(st.characters(exclude_categories=["Cs"]), max_size=30),
    limit=st.floats(0, 1),
    spikes=st.integers(99, 10_000),
)
def test_every_digit_and_every_name_comes_back(name, limit, spikes):
    passed = (spikes + 1) // 100 - 1
    made = Calibration(name, limit, spikes, passed, 0.01, (passed + 1) / (spikes + 1), "ef" * 32)
    assert calibration_of(tomllib.loads(calibration_toml(made)), where="x") == made


def test_a_calibration_of_another_network_is_refused(file):
    other = ModelIdentity("florets", "2", "ef" * 32)
    with pytest.raises(CalibrationError) as failure:
        read_calibration(file, model=other)
    assert str(failure.value) == (
        f"{file}: was made for florets 1 (abababababab), not for florets 2 (efefefefefef). "
        "Calibrate again, or leave the file away to use the shipped calibration"
    )


@pytest.mark.parametrize(
    ("old", "new", "complaint"),
    [
        ('schema = "spikecheck.calibration/1"', 'schema = "x/1"', "no calibration file of schema"),
        ("[calibration]", "[other]", "lacks [model] or [calibration]"),
        ("spikes = 199", "", "lacks the entry spikes"),
        ("spikes = 199", "spikes = true", "lacks the entry spikes"),
        ("spikes = 199", "spikes = 98", "prove 0.020202"),
        ("bound = 0.01", "bound = 0.001", "promises 0.001"),
        ("alpha = 0.01", "alpha = 0.005", "prove 0.01"),
        ("passed = 1", "passed = 300", "0 <= passed <= spikes"),
        ("pass_score_most = 0.1", "pass_score_most = 7.1", "lies in 0..1"),
        ("pass_score_most = ", "pass_score_most = nan #", "lies in 0..1"),
        ("[model]", "[model", "is no TOML"),
    ],
)
def test_what_does_not_fit_is_one_line_that_names_the_file(file, old, new, complaint):
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(CalibrationError) as failure:
        read_calibration(file, model=NETWORK)
    message = str(failure.value)
    assert complaint in message
    assert message.startswith(f"{file}: ")
    assert "\n" not in message


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(CalibrationError, match=r"cannot be read \(No such file"):
        read_calibration(tmp_path / "none.toml", model=NETWORK)


def test_a_file_that_is_no_text(tmp_path):
    (tmp_path / "photo.toml").write_bytes(b"\xff\xd8\xff")
    with pytest.raises(CalibrationError, match="is no TOML"):
        read_calibration(tmp_path / "photo.toml", model=NETWORK)


def test_a_place_that_cannot_be_written(tmp_path):
    with pytest.raises(OutputError, match="calibration cannot be written"):
        write_calibration(OWN, tmp_path / "none" / "calibration.toml", model=NETWORK)
