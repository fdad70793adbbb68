"""Cautions, limits and method."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.assessment.calibration_file import write_calibration
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Calibration
from widgets.cautions import CAUTIONS, DEFER

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

    from visitor import Visitor


def test_every_caution_is_there_with_its_sources(visitor: Visitor):
    visitor.go_to("safety")
    text = visitor.said()
    assert DEFER in text
    for caution in CAUTIONS:
        assert caution.sources in text
        for line in caution.lines:
            assert line in text


def test_ethanol_hazards_are_those_of_the_safety_data_sheet():
    # H225 and H319: supplier safety data sheet of ethanol (anhydrous); the wording of the
    # statements is that of Regulation (EC) 1272/2008, Annex III.
    ethanol = " ".join(CAUTIONS[0].lines)
    assert "Highly flammable liquid and vapour (H225)" in ethanol
    assert "serious eye irritation (H319)" in ethanol


def test_says_what_looks_at_the_photos(visitor: Visitor):
    visitor.go_to("safety")
    text = visitor.said()
    model = resources.finder().model
    assert f"{model.name}, version {model.version}" in text
    assert model.sha256 in text
    assert load_thresholds().sha256 in text


def test_says_which_pass_limit_is_in_force(
    visitor: Visitor, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
):
    visitor.go_to("safety")
    assert "Pass limit: as it comes with the method" in visitor.said()
    own = Calibration("glasshouse 2", 0.3, 99, 0, 0.01, 0.01, "0" * 64)
    monkeypatch.setenv("SPIKECHECK_CALIBRATION", str(tmp_path / "own.toml"))
    write_calibration(own, tmp_path / "own.toml", model=resources.finder().model)
    st.cache_resource.clear()
    visitor.go_to("safety")
    assert "your own calibration, glasshouse 2 (99 spikes with a leftover)" in visitor.said()


def test_a_calibration_that_does_not_fit_is_told_with_its_cure(
    visitor: Visitor, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
):
    monkeypatch.setenv("SPIKECHECK_CALIBRATION", str(tmp_path / "own.toml"))
    st.cache_resource.clear()
    visitor.go_to("safety")
    assert "Run spikecheck calibrate again" in visitor.said()


def test_promises_nothing(visitor: Visitor):
    visitor.go_to("safety")
    assert "It is no guarantee" in visitor.said()
    assert "answered with review, never with pass" in visitor.said()
