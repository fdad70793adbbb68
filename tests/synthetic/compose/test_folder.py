"""A folder of photos: three files each, made once, gone on with, never mixed with another set."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from spikecheck.errors import UsageError
from spikecheck.synthetic.compose.__main__ import main
from spikecheck.synthetic.compose.flat import write_flat
from spikecheck.synthetic.compose.folder import write_photos
from spikecheck.synthetic.compose.mix import PLAIN_SHARE, Mix, draw_kind
from spikecheck.synthetic.solid.layer_file import save_layers
from spikecheck.vocabulary import read_truth
from tests.synthetic.compose.layers_builder import make_layers


@pytest.fixture(scope="module")
def layers(tmp_path_factory):
    folder = tmp_path_factory.mktemp("layers")
    for seed in (1, 2):
        save_layers(make_layers(seed), folder, f"s{seed:07d}")
    return folder


def contents(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_goes_on_where_it_stopped_and_gives_the_same(layers, tmp_path):
    whole, broken = tmp_path / "whole", tmp_path / "broken"
    write_photos(layers, whole, seed=7, per_layer=2)
    names = sorted(path.name for path in whole.glob("*.jpg"))
    assert names == [f"s000000{k}_00{n}.jpg" for k in (1, 2) for n in (0, 1)]
    write_photos(layers, broken, seed=7, per_layer=1)
    (broken / names[2]).unlink()  # stopped before the photo, which comes last
    told = []
    write_photos(
        layers, broken, seed=7, per_layer=2, progress=lambda done, total: told.append((done, total))
    )
    assert contents(broken) == contents(whole)
    assert told[0] == (1, 4)
    assert told[-1] == (4, 4)
    for name in names:
        truth = read_truth(whole / name.replace(".jpg", ".json"))
        classes = cv2.imread(str(whole / name.replace(".jpg", ".classes.png")), -1)
        photo = cv2.imread(str(whole / name))
        assert truth.image == name
        assert classes.shape == photo.shape[:2] == (truth.height, truth.width)
        assert classes.dtype == np.uint8
        assert classes.max() <= 5


def test_a_folder_holds_one_set(layers, tmp_path):
    write_photos(layers, tmp_path / "set", seed=7, per_layer=1)
    with pytest.raises(UsageError, match="another set"):
        write_photos(layers, tmp_path / "set", seed=8, per_layer=1)


def test_two_processes_make_the_same_as_one(layers, tmp_path):
    one, two = tmp_path / "one", tmp_path / "two"
    write_photos(layers, one, seed=9, per_layer=1)
    write_photos(layers, two, seed=9, per_layer=1, workers=2)
    assert contents(one) == contents(two)


def test_seven_in_ten_are_plain():
    kinds = [draw_kind(seed, 5, "clean") for seed in range(2000)]
    # Three standard errors of a share of 0.7 in 2000.
    assert kinds.count("clean") / 2000 == pytest.approx(PLAIN_SHARE, abs=0.031)
    assert len(set(kinds)) == 10


@pytest.mark.parametrize("mix", Mix)
def test_who_draws_faults(mix):
    faulty = [draw_kind(seed, 5, "clean", mix) != "clean" for seed in range(60)]
    assert all(faulty) == (mix is Mix.FAULTY)
    assert any(faulty) == (mix in {Mix.FAULTY, Mix.FAULTS, Mix.LITTERED})


def test_flat_images_come_with_class_maps(tmp_path):
    write_flat(tmp_path, seed=11, count=1)
    assert len(list(tmp_path.glob("*.jpg"))) == 1
    for path in tmp_path.glob("*.classes.png"):
        classes = cv2.imread(str(path), -1)
        truth = read_truth(tmp_path / path.name.replace(".classes.png", ".json"))
        assert classes.shape == (truth.height, truth.width)
        if truth.px_per_mm is None:
            continue
        listed = sum(a.visible_area_mm2 for a in truth.anthers)
        shown = np.count_nonzero(classes >= 3) / truth.px_per_mm**2
        assert listed == pytest.approx(shown, abs=0.01)


def test_the_command_says_what_is_wrong(tmp_path, capsys):
    assert main([str(tmp_path), str(tmp_path / "out"), "--seed", "1"]) == 2
    assert "no rendered layers" in capsys.readouterr().err
    assert main(["--seed", "1"]) == 2
    assert "two folders" in capsys.readouterr().err


def test_a_set_of_good_photos_has_no_faults(layers, tmp_path):
    write_photos(layers, tmp_path / "good", seed=7, per_layer=6, mix=Mix.GOOD)
    kinds = [read_truth(path).families["kind"] for path in sorted((tmp_path / "good").glob("s*n"))]
    assert len(kinds) == 12
    assert set(kinds) <= {"leftover", "clean", "turned_away"}
    with pytest.raises(UsageError, match="another set"):
        write_photos(layers, tmp_path / "good", seed=7, per_layer=6)


def test_a_littered_set_shows_the_same_kinds_in_other_photos(layers, tmp_path):
    for mix in (Mix.FAULTS, Mix.LITTERED):
        write_photos(layers, tmp_path / mix, seed=7, per_layer=4, mix=mix)
    for path in sorted((tmp_path / "faults").glob("*.jpg")):
        other = tmp_path / "littered" / path.name
        kinds = [read_truth(one.with_suffix(".json")).families["kind"] for one in (path, other)]
        assert kinds[0] == kinds[1] or "turned_away" in kinds  # litter may lie over a cavity
        assert (path.read_bytes() == other.read_bytes()) == (kinds[0] == "no_spike")


def test_bare_renders_lie_on_even_grey_as_they_are(layers, tmp_path):
    write_photos(layers, tmp_path / "bare", seed=7, per_layer=2, mix=Mix.BARE)
    for path in sorted((tmp_path / "bare").glob("*.jpg")):
        truth = read_truth(path.with_suffix(".json"))
        classes = cv2.imread(str(path.with_name(f"{path.stem}.classes.png")), -1)
        photo = cv2.imread(str(path)).astype(int)
        assert (truth.families["background"], truth.families["camera"]) == ("grey", "plain")
        assert truth.problems == ()
        # away from the spike, also from edges that JPEG blurs: one grey, but for the stem
        away = cv2.dilate((classes > 0).astype(np.uint8), np.ones((41, 41))) == 0
        ground = photo[away]
        assert len(ground) > 10_000
        same = np.abs(ground - np.median(ground, axis=0)).max(axis=1) <= 2
        assert same.mean() > 0.95
        assert np.ptp(np.median(ground, axis=0)) < 30  # grey, whatever the light


def test_ways_to_mix_exclude_each_other(layers, tmp_path, capsys):
    common = [str(layers), str(tmp_path / "set"), "--seed", "7"]
    assert main([*common, "--good", "--bare"]) == 2
    assert "only one of --good, --bare" in capsys.readouterr().err
