"""Sets of images: whole, resumable, with a manifest that says what each came from."""

from __future__ import annotations

import json

import pytest

from spikecheck.errors import OutputError, UsageError
from spikecheck.synthetic.draw_set import write_set
from spikecheck.synthetic.manifest import MANIFEST, sha256_of
from spikecheck.synthetic.orders import ImageOrder
from spikecheck.synthetic.version import GENERATOR_VERSION
from spikecheck.vocabulary import read_truth

COARSE = 4.0


def draw(folder, count=3, **options):
    steps = []
    write_set(
        folder, kinds=["clean", "leftover_green"], count=count, seed=40, px_per_mm=COARSE,
        progress=lambda done, of: steps.append((done, of)), **options,
    )  # fmt: skip
    return steps


def test_a_set_holds_images_truth_and_manifest(tmp_path):
    steps = draw(tmp_path)
    assert steps == [(0, 3), (1, 3), (2, 3), (3, 3)]
    manifest = json.loads((tmp_path / MANIFEST).read_text())
    assert manifest["schema"] == "spikecheck.images/1"
    assert manifest["generator"] == GENERATOR_VERSION
    names = [entry["image"] for entry in manifest["images"]]
    assert names == ["clean_00040.jpg", "leftover_green_00041.jpg", "clean_00042.jpg"]
    for entry in manifest["images"]:
        image = tmp_path / entry["image"]
        assert sha256_of(image.read_bytes()) == entry["sha256"]
        truth = image.with_suffix(".json")
        assert sha256_of(truth.read_bytes()) == entry["truth_sha256"]
        assert read_truth(truth).image == entry["image"]
        assert entry["px_per_mm"] == COARSE
    assert sorted(p.name for p in tmp_path.iterdir() if p.name.startswith(".")) == []


def test_a_second_run_draws_only_what_is_missing_or_changed(tmp_path):
    draw(tmp_path)
    before = {p.name: p.stat().st_mtime_ns for p in tmp_path.glob("*.jpg")}
    (tmp_path / "clean_00042.jpg").write_bytes(b"damaged")
    (tmp_path / "leftover_green_00041.json").unlink()
    assert draw(tmp_path) == [(1, 3), (2, 3), (3, 3)]
    after = {p.name: p.stat().st_mtime_ns for p in tmp_path.glob("*.jpg")}
    assert after["clean_00040.jpg"] == before["clean_00040.jpg"]
    assert after["clean_00042.jpg"] != before["clean_00042.jpg"]


def test_another_generator_version_draws_all_again(tmp_path):
    draw(tmp_path, count=1)
    manifest = json.loads((tmp_path / MANIFEST).read_text())
    manifest["generator"] = "0"
    (tmp_path / MANIFEST).write_text(json.dumps(manifest))
    assert draw(tmp_path, count=1) == [(0, 1), (1, 1)]


def test_two_workers_draw_the_same_set(tmp_path):
    draw(tmp_path / "one", count=2)
    draw(tmp_path / "two", count=2, workers=2)
    one, two = (json.loads((tmp_path / n / MANIFEST).read_text()) for n in ("one", "two"))
    assert one == two


def test_a_stopped_run_keeps_what_it_drew(tmp_path):
    def stop_after_two(done, of):
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_set(
            tmp_path, kinds=["clean"], count=3, seed=40, px_per_mm=COARSE,
            progress=stop_after_two,
        )  # fmt: skip
    kept = json.loads((tmp_path / MANIFEST).read_text())["images"]
    assert [entry["seed"] for entry in kept] == [40, 41]


def test_wrong_orders_are_named(tmp_path):
    with pytest.raises(UsageError, match="the number of images is 1 or more, got 0"):
        write_set(tmp_path, kinds=["clean"], count=0, seed=1)
    with pytest.raises(UsageError, match="no kind of image was asked for"):
        write_set(tmp_path, kinds=[], count=1, seed=1)
    with pytest.raises(UsageError, match="no kind of image is named 'neat'"):
        write_set(tmp_path, kinds=["neat"], count=1, seed=1)
    with pytest.raises(UsageError, match="workers is 1 or more, got 0"):
        write_set(tmp_path, kinds=["clean"], count=1, seed=1, workers=0)
    with pytest.raises(UsageError, match="a seed lies in 0 to"):
        ImageOrder("clean", -1)


def test_a_folder_that_is_a_file_is_refused(tmp_path):
    (tmp_path / "taken").write_text("")
    with pytest.raises(OutputError, match="taken: cannot be made"):
        draw(tmp_path / "taken")
