"""The committed demo set: small, complete, and what the generator draws today."""

from __future__ import annotations

import json

import cv2
import numpy as np
import pytest

from spikecheck.bundled import bundled_folder
from spikecheck.synthetic.draw_set import draw_order
from spikecheck.synthetic.manifest import MANIFEST, sha256_of
from spikecheck.synthetic.recipe import read_recipe
from spikecheck.synthetic.version import GENERATOR_VERSION
from spikecheck.vocabulary import AntherStage, read_truth

FOLDER = bundled_folder("synthetic_images")
DEMO = FOLDER / "demo"


@pytest.fixture(scope="module")
def orders():
    return {order.image: order for order in read_recipe(FOLDER / "demo_recipe.json")}


@pytest.fixture(scope="module")
def manifest():
    return json.loads((DEMO / MANIFEST).read_text())


def test_manifest_recipe_and_files_agree(orders, manifest):
    assert manifest["generator"] == GENERATOR_VERSION
    assert [entry["image"] for entry in manifest["images"]] == list(orders)
    for entry in manifest["images"]:
        order = orders[entry["image"]]
        assert {key: entry[key] for key in order.entry()} == order.entry()
        assert sha256_of((DEMO / order.image).read_bytes()) == entry["sha256"]
        assert sha256_of((DEMO / order.truth).read_bytes()) == entry["truth_sha256"]
    named = {*orders, *(order.truth for order in orders.values()), MANIFEST}
    assert {path.name for path in DEMO.iterdir()} == named


def test_the_set_is_small_and_keeps_to_its_seeds(orders):
    assert sum(path.stat().st_size for path in DEMO.iterdir()) <= 8_000_000
    assert all(100 <= order.seed < 200 for order in orders.values())


def test_it_covers_what_a_newcomer_needs_to_see(orders):
    kinds = [order.kind for order in orders.values()]
    assert kinds.count("clean") >= 5
    wanted = {"leftover_outside", "leftover_broken", "partly_prepared", "defocus", "dark",
              "cut_off", "no_spike"}  # fmt: skip
    assert wanted <= set(kinds)
    truths = [read_truth(DEMO / order.truth) for order in orders.values()]
    assert {a.stage for truth in truths for a in truth.anthers} == set(AntherStage)


def test_the_generator_still_draws_it(orders, tmp_path):
    order = orders["leftover_yellow_00171.jpg"]
    draw_order(tmp_path, order)
    assert read_truth(tmp_path / order.truth) == read_truth(DEMO / order.truth)
    drawn, kept = (
        cv2.imread(str(folder / order.image)).astype(np.int16) for folder in (tmp_path, DEMO)
    )
    assert drawn.shape == kept.shape
    # Rounding differs between processors; a changed drawing differs by far more.
    assert np.abs(drawn - kept).mean() < 0.5
