"""Cards: their numbers are those of the evaluation; they are written where they belong."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from spikecheck.evaluation import rows
from spikecheck.evaluation.reliability import brier_score, reliability_bins
from spikecheck.model_training import card
from spikecheck.model_training.card import florets_card, scalings_of
from spikecheck.model_training.goals import GOALS, Goal, goal_table
from spikecheck.model_training.manifest_tables import write_table
from spikecheck.model_training.markdown import table
from spikecheck.model_training.reliability_picture import reliability_png
from spikecheck.model_training.scaled_case import floret_outcomes, scaled_case
from spikecheck.networks import read_manifest
from tests.model_training.cases import world
from tests.networks.colour_networks import save_florets, save_overview


@pytest.fixture
def network(tmp_path):
    save_overview(tmp_path, px_per_mm_in_square=5.0)
    save_florets(tmp_path)
    return tmp_path / "florets" / "1"


CASES = [
    replace(case, truth=replace(case.truth, families={"light": "led" if number % 2 else "sun"}))
    for number, case in enumerate(world(1, 200))
]


def test_every_goal_is_a_row_of_an_evaluation(network):
    _, _, evaluation = florets_card(
        CASES, read_manifest(network / "model.toml"), sha256="0" * 64, name="x"
    )
    told = {(row.group, row.name) for row in rows(evaluation)}
    needing_bad_photos = {
        goal.score for goal in GOALS
        if "cannot be judged" in goal.score[1] and goal.score[0] != "anthers"
    }  # fmt: skip
    unstaged = {("anthers", "good photos: stage right, 0.25 mm² or more")}
    assert {goal.score for goal in GOALS} - told == needing_bad_photos | unstaged


def test_the_card_tells_the_limit_the_scores_and_the_worst_mistakes(network):
    manifest = read_manifest(network / "model.toml")
    text, picture, evaluation = florets_card(CASES, manifest, sha256="ab" * 32, name="drawn")
    assert "# The florets network, version 1" in text
    assert "(1 + 1) / (199 + 1) = 1.00 %" in text
    passed = evaluation.verdicts.clean_passed
    assert f"| clean spikes that pass | {passed.events} of {passed.trials} |" in text
    scaled = floret_outcomes(scaled_case(case, scalings_of(manifest)) for case in CASES)
    p = 1 / (1 + np.exp(-scaled.logits))
    assert f"Brier score {brier_score(p, scaled.happened):.5f}" in text
    assert "| led | 100 |" in text
    assert re.search(r"\| s\d{7}-0\.jpg \| .* \| light (led|sun) \|", text)
    assert Image.open(BytesIO(picture)).format == "PNG"


def test_a_network_without_a_pass_limit_says_so(network):
    path = network / "model.toml"
    scaling = "floret_a = 1.0\nfloret_b = 0.0\nanther_a = 1.0\nanther_b = 0.0\n"
    write_table(path, "calibration", scaling)
    text, _, _ = florets_card(CASES, read_manifest(path), sha256="ab" * 32, name="drawn")
    assert "No pass limit: the set was too small" in text


def test_the_command_writes_both_cards_the_picture_and_the_evaluation(
    network, tmp_path, monkeypatch
):
    photos = tmp_path / "set"
    photos.mkdir()
    for case in CASES:
        (photos / case.file).write_bytes(b"x")
        (photos / case.file).with_suffix(".json").write_bytes(b"{}")
    monkeypatch.setattr(card, "look_at_set", lambda *_, **__: CASES)
    (tmp_path / "more.md").write_text("## Families never seen\n", encoding="utf-8")
    card.main([str(photos), str(network), "--add", str(tmp_path / "more.md"),
               "--json", str(tmp_path / "scores.json")])  # fmt: skip
    text = (network / "CARD.md").read_text(encoding="utf-8")
    assert text.endswith("## Families never seen\n")
    assert (network / "reliability.png").stat().st_size > 1000
    overview = (tmp_path / "overview" / "1" / "CARD.md").read_text(encoding="utf-8")
    assert "# The overview network" in overview
    assert "px/mm" not in text or "true scale within the bounds" in overview
    assert len(json.loads((tmp_path / "scores.json").read_text())["photos"]) == len(CASES)


@pytest.mark.parametrize(
    ("least", "value", "answer"),
    [(True, 0.98, "yes"), (True, 0.9799, "**no**"), (False, 0.98, "yes"), (False, 0.99, "**no**"),
     (True, None, "not measured")],
)  # fmt: skip
def test_a_goal_is_reached_at_its_limit(monkeypatch, least, value, answer):
    goal = Goal(("a", "b"), "found", 0.98, least=least)
    monkeypatch.setattr("spikecheck.model_training.goals.GOALS", (goal,))
    assert goal_table({("a", "b"): value}).splitlines()[-1].endswith(f"| {answer} |")


def test_a_cell_cannot_break_the_table():
    lines = table(("a", "b"), [("x|y", "two\nlines")]).splitlines()
    assert lines == ["| a | b |", "| --- | ---: |", "| x\\|y | two lines |"]


def test_the_picture_shows_a_mark_where_it_belongs():
    p, happened = np.full(100, 0.5), np.arange(100) < 25
    bins = reliability_bins(p, happened, edges=(0.0, 1.0))
    pixels = np.asarray(Image.open(BytesIO(reliability_png({"x": bins}))))
    across, up = 56 + 180, 56 + round(0.75 * 360)
    assert tuple(pixels[up, across]) == (0, 114, 178)
    assert tuple(pixels[up - 60, across]) != (0, 114, 178)
