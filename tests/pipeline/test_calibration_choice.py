"""The calibration in force: the one named, one's own, or the shipped one; never a wrong one."""

from __future__ import annotations

import sys
from types import ModuleType

import pytest

from spikecheck.assessment.calibration_file import write_calibration
from spikecheck.errors import CalibrationError
from spikecheck.pipeline.calibration_choice import (
    calibration_in_force,
    finder_in_force,
    own_calibration,
    own_calibration_file,
)
from spikecheck.vocabulary import Calibration, ModelIdentity
from tests.builders import MODEL

CALIBRATION = Calibration("own", 0.3, 99, 0, 0.01, 0.01, "0" * 64)


@pytest.fixture
def file(tmp_path, monkeypatch):
    monkeypatch.setenv("SPIKECHECK_CALIBRATION", str(tmp_path / "own.toml"))
    return tmp_path / "own.toml"


def test_the_own_file_is_in_force_unless_the_shipped_one_is_asked_for(file, tmp_path, monkeypatch):
    write_calibration(CALIBRATION, file, model=MODEL)
    assert own_calibration_file() == file
    assert calibration_in_force(None, model=MODEL) == CALIBRATION
    assert calibration_in_force(str(file), model=MODEL) == CALIBRATION
    assert calibration_in_force("shipped", model=MODEL) is None
    monkeypatch.setenv("SPIKECHECK_CALIBRATION", "shipped")
    assert calibration_in_force(None, model=MODEL) is None


def test_without_a_file_of_ones_own_the_shipped_one_is_in_force(tmp_path, monkeypatch):
    monkeypatch.delenv("SPIKECHECK_CALIBRATION", raising=False)
    monkeypatch.setattr("platformdirs.user_config_path", lambda *_, **__: tmp_path / "config")
    assert own_calibration_file() == tmp_path / "config" / "calibration.toml"
    assert calibration_in_force(None, model=MODEL) is None


def test_a_file_that_was_named_and_is_not_there_is_told(file):
    for choice in (None, str(file)):
        with pytest.raises(CalibrationError, match="add --calibration shipped"):
            calibration_in_force(choice, model=MODEL)


def test_a_calibration_of_another_network_is_refused_with_the_cure(file):
    write_calibration(CALIBRATION, file, model=MODEL)
    newer = ModelIdentity(MODEL.name, "1", "f" * 64)
    with pytest.raises(CalibrationError) as caught:
        calibration_in_force(None, model=newer)
    assert str(caught.value).endswith(
        "Run spikecheck calibrate again, or add --calibration shipped"
    )


@pytest.fixture
def stand_in(monkeypatch):
    """A finder that tells the calibration it was made with."""

    class Stands:
        model = MODEL

        def __init__(self, _, calibration=None):
            self.calibration = calibration

    module = ModuleType("spikecheck.pipeline.finders")
    module.default_finder = Stands  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "spikecheck.pipeline.finders", module)


def test_what_looks_at_the_photos_has_the_calibration_in_force(stand_in, file):
    write_calibration(CALIBRATION, file, model=MODEL)
    assert finder_in_force(None).calibration == CALIBRATION
    assert own_calibration(None) == CALIBRATION
    assert finder_in_force("shipped").calibration is None
    assert own_calibration("shipped") is None
