"""The committed demo set: small, complete, and what the generator makes today."""

from __future__ import annotations

import json

import cv2
import numpy as np
import pytest

from spikecheck.bundled import bundled_folder
from spikecheck.synthetic.compose.chosen import compose_chosen
from spikecheck.synthetic.compose.chosen_recipe import read_chosen
from spikecheck.synthetic.manifest import MANIFEST, sha256_of
from spikecheck.synthetic.version import GENERATOR_VERSION
from spikecheck.vocabulary import AntherStage, read_truth

FOLDER = bundled_folder("synthetic_images")
DEMO = FOLDER / "demo"
LARGEST_BYTES = 6_000_000


@pytest.fixture(scope="module")
def recipe():
    return read_chosen(FOLDER / "demo_recipe.json")


@pytest.fixture(scope="module")
def manifest():
    return json.loads((DEMO / MANIFEST).read_text())


def test_manifest_recipe_and_files_agree(recipe, manifest):
    assert manifest["generator"] == GENERATOR_VERSION
    assert [entry["name"] for entry in manifest["images"]] == [p.name for p in recipe.photos]
    for entry, photo in zip(manifest["images"], recipe.photos, strict=True):
        assert {key: entry[key] for key in photo.entry()} == photo.entry()
        assert entry["image"] == f"{photo.name}.jpg"
        assert sha256_of((DEMO / f"{photo.name}.jpg").read_bytes()) == entry["sha256"]
        assert sha256_of((DEMO / f"{photo.name}.json").read_bytes()) == entry["truth_sha256"]
    named = {f"{photo.name}.{ending}" for photo in recipe.photos for ending in ("jpg", "json")}
    assert {path.name for path in DEMO.iterdir()} == {*named, MANIFEST}


def test_the_set_is_small_and_keeps_to_its_seeds(recipe):
    assert sum(path.stat().st_size for path in DEMO.iterdir()) <= LARGEST_BYTES
    assert all(500 <= seed < 700 for seed in recipe.layers)


def test_it_covers_what_a_newcomer_needs_to_see(recipe):
    clean = [photo for photo in recipe.photos if photo.kind == "clean"]
    assert len({photo.layer for photo in clean}) >= 5  # so many spikes, not one from all sides
    wanted = {"leftover", "partly_prepared", "defocus", "dark", "overexposed", "cut_off",
              "no_spike"}  # fmt: skip
    assert wanted <= {photo.kind for photo in recipe.photos}
    for stage in AntherStage:
        (photo,) = [one for one in recipe.photos if one.name.startswith(f"leftover_{stage}")]
        anthers = read_truth(DEMO / f"{photo.name}.json").anthers
        assert stage in {anther.stage for anther in anthers}


def test_the_generator_still_makes_it(recipe, tmp_path):
    """Two paths a pixel instead of 48: the truth is read off no paths, the colours are grainier."""
    pytest.importorskip("mitsuba")
    from spikecheck.synthetic.solid.layer_file import save_layers
    from spikecheck.synthetic.solid.layer_set import layer_name
    from spikecheck.synthetic.solid.renderer import render_layers

    (photo,) = [one for one in recipe.photos if one.name.startswith("leftover_yellow")]
    layers = render_layers(photo.layer, samples=2)
    for seed in (photo.layer, photo.beside):  # nothing that was rendered is beside this spike
        save_layers(layers, tmp_path, layer_name(seed))
    made = compose_chosen(photo, recipe, tmp_path)
    kept = read_truth(DEMO / f"{photo.name}.json")
    assert (made.truth.width, made.truth.height) == (kept.width, kept.height)
    assert made.truth.px_per_mm == pytest.approx(kept.px_per_mm)
    assert made.truth.families == kept.families
    for ours, theirs in ((made.truth.florets, kept.florets), (made.truth.anthers, kept.anthers)):
        assert len(ours) == len(theirs)
        for one, other in zip(ours, theirs, strict=True):
            assert one.centre.row == pytest.approx(other.centre.row, abs=1.5)
            assert one.centre.column == pytest.approx(other.centre.column, abs=1.5)
    drawn = made.pixels[..., ::-1].astype(np.int16)
    committed = cv2.imread(str(DEMO / f"{photo.name}.jpg")).astype(np.int16)
    # Grain and rounding differ; another scene differs by far more.
    assert np.abs(drawn - committed).mean() < 4
