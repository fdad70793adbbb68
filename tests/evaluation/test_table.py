"""Rows to print and the object for JSON."""

from __future__ import annotations

import json

from spikecheck.evaluation import (
    PhotoOutcome,
    evaluation_entry,
    rows,
    summarise,
    verdict_table,
)
from spikecheck.intervals import clopper_pearson_interval, upper_limit, wilson_interval
from spikecheck.vocabulary import QualityProblem
from tests.builders import anther, findings, florets, quality
from tests.evaluation.cases import result_on, true_anther, truth

FOUND = result_on(findings(anthers=[anther()]))
OUTCOMES = [
    *[PhotoOutcome("dirty.jpg", truth(true_anther(), florets=florets()), FOUND)] * 20,
    *[PhotoOutcome("clean.jpg", truth(florets=florets()), result_on())] * 19,
    PhotoOutcome("clean.jpg", truth(florets=florets()), FOUND),
    PhotoOutcome("dark.jpg", None, result_on(judged=quality(QualityProblem.DARK))),
    PhotoOutcome("broken.jpg", None, None, "broken.jpg: ends early. Copy it again"),
]
EVALUATION = summarise(OUTCOMES)


def row(group: str, name: str):
    return next(line for line in rows(EVALUATION) if (line.group, line.name) == (group, name))


def test_wrong_passes_come_first_with_the_exact_interval():
    first = rows(EVALUATION)[0]
    assert (first.group, first.name) == ("verdict", "spikes with a leftover that pass")
    assert (first.events, first.trials, first.value) == (0, 20, 0)
    assert (first.low, first.high) == clopper_pearson_interval(0, 20)


def test_other_shares_have_wilsons_interval():
    clean = row("verdict", "clean spikes that pass")
    assert (clean.events, clean.trials, clean.value) == (19, 20, 0.95)
    assert (clean.low, clean.high) == wilson_interval(19, 20)


def test_plain_numbers_have_neither_counts_nor_interval():
    f1 = row("florets", "F1")
    assert (f1.events, f1.trials, f1.value, f1.low, f1.high) == (None, None, 1.0, None, None)


def test_what_there_was_nothing_to_count_for_is_left_out():
    assert all(line.value is not None for line in rows(EVALUATION))
    assert not any(line.name == "recall, dehisced" for line in rows(EVALUATION))
    assert rows(summarise([])) == []


def test_the_verdict_table_counts_photos_without_truth_apart():
    lines = [(line.truth, line.passed, line.reviewed) for line in verdict_table(EVALUATION)]
    assert lines == [("pass", 19, 1), ("review", 0, 20), ("not known", 0, 1)]


def test_the_entry_is_plain_json():
    entry = evaluation_entry(EVALUATION)
    assert json.loads(json.dumps(entry, allow_nan=False)) == entry
    assert len(entry["photos"]) == len(OUTCOMES)
    assert entry["photos"][0] == {
        "file": "dirty.jpg", "truth": "review", "verdict": "review",
        "reasons": ["anther_left"], "error": None,
        "anthers": 1, "anthers_found": 1, "false_marks": 0, "unfamiliar": False,
    }  # fmt: skip
    assert entry["photos"][-1] == {
        "file": "broken.jpg", "truth": None, "verdict": None, "reasons": [],
        "error": "broken.jpg: ends early. Copy it again",
        "anthers": None, "anthers_found": None, "false_marks": None, "unfamiliar": None,
    }  # fmt: skip
    assert entry["leftover_passed_at_most"] == round(upper_limit(0, 20), 4)
    assert {"group", "name", "events", "trials", "value", "low", "high"} == set(entry["scores"][0])
