"""Layers come back from disk as they were."""

import io
import zipfile

import numpy as np
import pytest

from spikecheck.errors import OutputError, RenderError, UsageError
from spikecheck.synthetic.solid.layer_file import load_layers, save_layers
from spikecheck.synthetic.solid.layer_set import LayerSet, Settings
from spikecheck.synthetic.solid.layers import LayerAnther, LayerFloret, LayerRecord, Layers
from spikecheck.synthetic.solid.part import Organ, OrganKind
from spikecheck.vocabulary import AntherStage, Box, Point, Side


def some_layers(seed: int = 4) -> Layers:
    rng = np.random.default_rng(seed)
    alpha = np.where(rng.random((31, 22)) < 0.4, rng.integers(0, 256, (31, 22)), 0).astype(np.uint8)
    covered = alpha > 0
    floret = LayerFloret(
        "L1", Point(4.25, 6.5), Box(1, 2, 8, 9), Side.LEFT, 0.25, True, 0.75,
        (Point(3, 3), Point(3, 5), Point(5, 4)), (2, 3),
    )  # fmt: skip
    anthers = (
        LayerAnther(
            3, "L1", AntherStage.YELLOW, True, False, 2.5, 17, 40, Point(4, 6), Box(2, 3, 6, 8)
        ),
        LayerAnther(4, None, AntherStage.GREEN, False, True, 1.25, 0, 12, None, None),
    )  # fmt: skip
    record = LayerRecord(
        seed, "prepared", 20.5, {"plant": "waxy", "light": "sun"}, (Point(30, 11), Point(1, 12)),
        (
            Organ(2, OrganKind.LEMMA, "7"),
            Organ(3, OrganKind.ANTHER, "7", AntherStage.YELLOW, True, False, 2.5, "yellow"),
        ),
        (floret,), anthers,
    )  # fmt: skip
    return Layers(
        radiance=(rng.random((31, 22, 3)) * covered[..., None]).astype(np.float16),
        alpha=alpha,
        organ=(rng.integers(1, 5, (31, 22)) * covered).astype(np.uint16),
        depth_mm=(rng.normal(size=(31, 22)) * covered).astype(np.float16),
        record=record,
    )


def test_what_is_written_is_what_is_read(tmp_path):
    layers = some_layers()
    path = save_layers(layers, tmp_path, "one")
    back = load_layers(path)
    assert back.record == layers.record
    for name in ("radiance", "alpha", "organ", "depth_mm"):
        before, after = getattr(layers, name), getattr(back, name)
        assert after.dtype == before.dtype
        assert np.array_equal(after, before), name
    assert [entry.name for entry in tmp_path.iterdir()] == ["one.layers.npz"]


def test_layers_of_different_sizes_do_not_fit_together():
    layers = some_layers()
    with pytest.raises(RenderError, match="one size"):
        Layers(layers.radiance[1:], layers.alpha, layers.organ, layers.depth_mm, layers.record)


def test_a_broken_file_says_so(tmp_path):
    path = save_layers(some_layers(), tmp_path, "one")
    path.write_bytes(path.read_bytes()[:200])
    with pytest.raises(RenderError, match=r"one\.layers\.npz: not readable as layers"):
        load_layers(path)


def test_a_file_that_is_not_there_says_so(tmp_path):
    with pytest.raises(RenderError, match="not readable"):
        load_layers(tmp_path / "two.layers.npz")


def test_another_version_is_refused(tmp_path):
    path = tmp_path / "old.layers.npz"
    text = np.frombuffer(b'{"schema": "spikecheck.layers/0"}', np.uint8)
    member = io.BytesIO()
    np.lib.format.write_array(member, text)
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("record.npy", member.getvalue())
    with pytest.raises(RenderError, match=r"spikecheck\.layers/1 expected"):
        load_layers(path)


def test_a_folder_that_is_not_there_cannot_be_written_to(tmp_path):
    with pytest.raises(OutputError):
        save_layers(some_layers(), tmp_path / "nowhere", "one")


def test_a_set_finds_renders_that_its_manifest_does_not_name(tmp_path):
    settings = Settings(samples=8, long_side_px=None)
    save_layers(some_layers(12), tmp_path, "s0000012")
    layers = LayerSet(tmp_path, settings)
    assert layers.entries[12]["anthers_seen"] == 1
    layers.save()
    assert LayerSet(tmp_path, settings).entries == layers.entries


def test_a_set_forgets_renders_that_are_gone(tmp_path):
    settings = Settings(samples=8, long_side_px=None)
    path = save_layers(some_layers(12), tmp_path, "s0000012")
    LayerSet(tmp_path, settings).save()
    path.unlink()
    assert LayerSet(tmp_path, settings).entries == {}


def test_a_set_of_other_settings_is_left_alone(tmp_path):
    LayerSet(tmp_path, Settings(samples=8, long_side_px=None)).save()
    with pytest.raises(UsageError, match="other settings"):
        LayerSet(tmp_path, Settings(samples=9, long_side_px=None))
