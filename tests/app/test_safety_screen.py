"""Cautions, limits and method."""

from __future__ import annotations

from typing import TYPE_CHECKING

import resources
from spikecheck.thresholds import load_thresholds
from widgets.cautions import CAUTIONS, DEFER

if TYPE_CHECKING:
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


def test_promises_nothing(visitor: Visitor):
    visitor.go_to("safety")
    assert "It is no guarantee" in visitor.said()
    assert "answered with review, never with pass" in visitor.said()
