"""Photos chosen one by one: made from seeds alone, kept when unchanged, told when they fail."""

from __future__ import annotations

import json

import cv2
import pytest

from spikecheck.errors import OutputError, RenderError, UsageError
from spikecheck.synthetic.compose import chosen
from spikecheck.synthetic.compose.chosen import main
from spikecheck.synthetic.compose.chosen_recipe import ChosenPhoto, read_chosen
from spikecheck.synthetic.compose.folder import write_photos
from spikecheck.synthetic.compose.mix import Mix
from spikecheck.synthetic.manifest import MANIFEST, sha256_of
from spikecheck.synthetic.solid.layer_file import save_layers
from spikecheck.vocabulary import read_truth
from tests.synthetic.compose.layers_builder import make_layers

PHOTOS = [
    {"name": "left", "kind": "leftover", "layer": 1, "beside": 2, "number": 1},
    {"name": "dark_one", "kind": "dark", "layer": 2, "beside": 1, "number": 0},
]


@pytest.fixture
def layers(tmp_path):
    """Two renders that are there already."""
    folder = tmp_path / "layers"
    folder.mkdir()
    for seed in (1, 2):
        save_layers(make_layers(seed), folder, f"s{seed:07d}")
    return folder


@pytest.fixture
def make(layers, tmp_path):
    """Write a recipe and make its photos; returns the exit code."""

    def make(photos=PHOTOS, *options):
        recipe = tmp_path / "recipe.json"
        recipe.write_text(json.dumps({"samples": 8, "seed": 7, "photos": photos}))
        return main([str(recipe), str(tmp_path / "out"), "--layers", str(layers), *options])

    return make


def test_photos_truth_and_manifest_belong_together(make, tmp_path):
    assert make() == 0
    out = tmp_path / "out"
    assert {path.name for path in out.iterdir()} == {
        "left.jpg", "left.json", "dark_one.jpg", "dark_one.json", MANIFEST,
    }  # fmt: skip
    entries = json.loads((out / MANIFEST).read_text())["images"]
    for entry, photo in zip(entries, PHOTOS, strict=True):
        assert {key: entry[key] for key in photo} == photo
        image = out / entry["image"]
        truth = read_truth(image.with_suffix(".json"))
        assert entry["sha256"] == sha256_of(image.read_bytes())
        assert entry["truth_sha256"] == sha256_of(image.with_suffix(".json").read_bytes())
        assert truth.image == image.name
        assert cv2.imread(str(image)).shape[:2] == (truth.height, truth.width)
        assert truth.families["kind"] == photo["kind"]


def test_a_photo_is_the_one_of_that_number_in_the_set_it_was_chosen_from(make, layers, tmp_path):
    write_photos(layers, tmp_path / "set", seed=7, per_layer=2, mix=Mix.GOOD)
    assert make() == 0
    in_set = tmp_path / "set" / "s0000001_001.jpg"
    assert (tmp_path / "out" / "left.jpg").read_bytes() == in_set.read_bytes()


def test_only_what_is_missing_or_changed_is_made(make, tmp_path, capsys):
    make()
    whole = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    (tmp_path / "out" / "dark_one.json").write_text("{}")
    capsys.readouterr()
    assert make() == 0
    assert capsys.readouterr().err == "0 of 2 layers are to be rendered\ndark_one\n"
    assert {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()} == whole
    assert make() == 0
    assert capsys.readouterr().err == "0 of 0 layers are to be rendered\n"
    assert make([PHOTOS[0] | {"number": 2}, PHOTOS[1]]) == 0  # another order
    assert capsys.readouterr().err.endswith("rendered\nleft\n")


def test_a_layer_that_cannot_be_rendered_is_told_and_nothing_is_made(make, tmp_path, monkeypatch):
    class Broken:
        def __init__(self, **_):
            pass

        def render(self, seeds, *, failed, **_):
            for seed in seeds:
                failed(seed, "took too long")

    monkeypatch.setattr(chosen, "Crew", Broken)
    assert make([PHOTOS[0] | {"layer": 5}]) == 2
    assert not list((tmp_path / "out").iterdir())
    recipe = read_chosen(tmp_path / "recipe.json")
    with pytest.raises(RenderError, match=r"could not be rendered \(5: took too long\)"):
        chosen.make_chosen(recipe, chosen.Place(tmp_path / "out", tmp_path / "layers"))


def test_wrong_orders_are_told(make, tmp_path, capsys):
    assert make([PHOTOS[0] | {"kind": "clean"}]) == 2
    assert "cannot be made of this layer" in capsys.readouterr().err
    assert make(PHOTOS, "--workers", "0") == 2
    assert "workers is 1 or more" in capsys.readouterr().err
    with pytest.raises(UsageError, match="letters, digits and _"):
        ChosenPhoto("../left", "clean", 1, 2, 0)
    with pytest.raises(UsageError, match="0 or more"):
        ChosenPhoto("left", "clean", -1, 2, 0)
    (tmp_path / "taken").write_text("")
    recipe = read_chosen(tmp_path / "recipe.json")
    with pytest.raises(OutputError, match="cannot be made"):
        chosen.make_chosen(recipe, chosen.Place(tmp_path / "taken", tmp_path / "layers"))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("{", "not understood"),
        ("{}", "not understood .*photos"),
        ('{"photos": [], "seed": 1}', "not understood .*samples"),
        ('{"samples": 8, "seed": 1, "photos": [{"name": "a"}]}', "not understood .*kind"),
        (
            json.dumps({"samples": 8, "seed": 1, "photos": [PHOTOS[0] | {"kind": "neat"}]}),
            "no kind of image is named 'neat'",
        ),
        (
            json.dumps({"samples": 8, "seed": 1, "photos": [PHOTOS[0], PHOTOS[0]]}),
            "names a photo twice",
        ),
    ],
)
def test_a_recipe_that_is_no_recipe_is_refused(tmp_path, text, message):
    path = tmp_path / "recipe.json"
    path.write_text(text)
    with pytest.raises(UsageError, match=message):
        read_chosen(path)
    with pytest.raises(UsageError, match="cannot be read"):
        read_chosen(tmp_path / "missing.json")
