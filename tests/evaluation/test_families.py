"""Families of images apart."""

from __future__ import annotations

from dataclasses import replace

import pytest

from spikecheck.errors import UsageError
from spikecheck.evaluation import (
    PhotoOutcome,
    Proportion,
    by_family,
    evaluation_entry,
    family_lines,
    kinds_of_family,
    summarise,
)
from tests.builders import anther, findings
from tests.evaluation.cases import result_on, true_anther, truth

PASSING, REVIEWING = result_on(), result_on(findings(anthers=[anther()]))


def outcome(right, answer, **families):
    return PhotoOutcome("a.jpg", replace(right, families=families or None), answer)


EVALUATION = summarise(
    [
        outcome(truth(), PASSING, light="led", camera="plain"),
        outcome(truth(), REVIEWING, light="led", camera="soft"),
        outcome(truth(true_anther(area_mm2=1.0)), REVIEWING, light="sun", camera="soft"),
        outcome(truth(true_anther(area_mm2=1.0)), PASSING, light="sun"),
        outcome(truth(), PASSING),
        PhotoOutcome("no truth.jpg", None, PASSING),
    ]
)


def test_every_kind_that_an_image_names_is_known():
    assert kinds_of_family(EVALUATION) == ("camera", "light")


def test_each_family_is_scored_on_its_own_photos():
    lines = {line.family: line for line in family_lines(EVALUATION, "light")}
    assert lines["led"].clean_passed == Proportion(1, 2)
    assert lines["led"].false_marks == 0.5
    assert lines["sun"].leftover_passed == Proportion(1, 2)
    assert lines["sun"].recall == Proportion(1, 2)
    assert [line.photos for line in lines.values()] == [2, 2]


def test_photos_that_do_not_name_the_kind_are_in_no_family():
    apart = by_family(EVALUATION, "camera")
    assert {name: len(own.outcomes) for name, own in apart.items()} == {"plain": 1, "soft": 2}


def test_a_kind_that_no_image_names_is_told_with_those_there_are():
    with pytest.raises(UsageError, match=r"no image names its moon\. Known here: camera, light"):
        by_family(EVALUATION, "moon")


def test_without_families_that_is_told():
    with pytest.raises(UsageError, match="No truth file here names families"):
        by_family(summarise([]), "light")


def test_the_entry_holds_every_family():
    families = evaluation_entry(EVALUATION)["families"]
    assert set(families) == {"camera", "light"}
    assert families["light"]["sun"]["photos"] == 2
    clean = [
        row for row in families["light"]["led"]["scores"] if row["name"] == "clean spikes that pass"
    ]
    assert [(row["events"], row["trials"]) for row in clean] == [(1, 2)]
