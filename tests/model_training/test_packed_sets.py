"""Packing photo sets and loading them: nothing is lost, what is left out stays out."""

from __future__ import annotations

import json

import numpy as np
import pytest

torch = pytest.importorskip("torch")

from spikecheck.errors import TrainingError  # noqa: E402
from spikecheck.model_training import pack  # noqa: E402
from spikecheck.model_training.marks import AntherColumn, FloretColumn  # noqa: E402
from spikecheck.model_training.photo_set import load_sets  # noqa: E402
from tests.model_training.painted_set import paint, paint_set  # noqa: E402

CPU = torch.device("cpu")


@pytest.fixture(scope="module")
def packed(tmp_path_factory):
    folder = tmp_path_factory.mktemp("set")
    pack.pack_set(paint_set(folder / "photos"), folder / "packed")
    return folder / "packed"


def test_the_overview_holds_every_photo_and_florets_those_that_show_them(packed):
    overview = load_sets([packed], "overview", device=CPU)
    florets = load_sets([packed], "florets", device=CPU)
    assert [p["name"] for p in overview.photos] == ["a0", "a1", "a2", "a3", "dark", "empty"]
    assert [p["name"] for p in florets.photos] == ["a0", "a1", "a2", "a3", "empty"]
    assert len(florets) == 5
    # 180 px of axis at 10 px/mm and 7 mm at both ends; 28 mm across
    assert (int(florets.rows[1]), int(florets.columns[1])) == (320, 280)


def test_pixels_classes_and_marks_lie_where_the_photo_has_them(packed):
    photos = load_sets([packed], "florets", device=CPU)
    begin, rows, columns = (int(t[1]) for t in (photos.first, photos.rows, photos.columns))
    bytes_ = photos.pixels[begin : begin + rows * columns].numpy().view(np.uint8)
    picture = bytes_.reshape(rows, columns, 4)
    marks = photos.anthers[1]
    assert int(torch.isfinite(marks[:, 0]).sum()) == 2
    for mark in marks:
        row, column = (round(float(mark[i])) for i in (AntherColumn.ROW, AntherColumn.COLUMN))
        assert picture[row, column, 3] == 3 + int(mark[AntherColumn.STAGE])
        outline = mark[6:].reshape(-1, 2)
        extent = outline.amax(dim=0) - outline.amin(dim=0)
        assert extent.tolist() == pytest.approx([7, 15], abs=0.01)  # as painted
    florets = photos.florets[1]
    held = florets[:6, FloretColumn.ANTHER_MM2]
    assert (held > 0).tolist() == [True, True, False, False, False, False]
    assert florets[:6, FloretColumn.LEFT].tolist() == [1, 0, 1, 0, 1, 0]
    assert florets[:6, FloretColumn.CLIPPED].tolist() == [1, 1, 1, 1, 1, 0]


def test_a_family_is_left_out(packed):
    led = load_sets([packed], "overview", device=CPU, leave_out=[("light", "sun")])
    assert {p["families"]["light"] for p in led.photos} == {"led"}
    assert len(led) == 4
    with pytest.raises(TrainingError, match="no photo is left"):
        load_sets([packed], "overview", device=CPU, leave_out=[("light", "sun"), ("light", "led")])


def test_sets_are_joined_and_their_digest_tells_them_apart(packed):
    one = load_sets([packed], "florets", device=CPU)
    two = load_sets([packed, packed], "florets", device=CPU)
    assert len(two) == 2 * len(one)
    assert torch.equal(two.pixels[: len(one.pixels)], two.pixels[len(one.pixels) :])
    assert one.sha256 != two.sha256
    assert one.sha256 == load_sets([packed], "florets", device=CPU).sha256


def test_own_labels_without_class_maps_are_unknown_pixels(tmp_path):
    paint(tmp_path / "own", "p", florets=None, problems=None, families=None, complete=False)
    (tmp_path / "own" / "p.classes.png").unlink()
    pack.pack_set(tmp_path / "own", tmp_path / "packed")
    photos = load_sets([tmp_path / "packed"], "florets", device=CPU)
    classes = photos.pixels.numpy().view(np.uint8).reshape(-1, 4)[:, 3]
    assert set(classes.tolist()) == {0, 255}  # 0 only beyond the photo
    assert not bool(photos.complete[0])
    assert not bool(photos.florets_marked[0])
    assert bool(torch.isnan(photos.problems).all())


def test_in_a_photo_of_several_spikes_what_lies_beside_is_the_other_spike(tmp_path):
    import cv2

    from spikecheck.vocabulary import QualityProblem

    paint(tmp_path / "s", "p", problems=(QualityProblem.SEVERAL_SPIKES,))
    path = tmp_path / "s" / "p.classes.png"
    classes = cv2.imread(str(path), cv2.IMREAD_GRAYSCALE)
    classes[:, -20:] = 2
    cv2.imwrite(str(path), classes)
    pack.pack_set(tmp_path / "s", tmp_path / "packed")
    photos = load_sets([tmp_path / "packed"], "overview", device=CPU)
    found = photos.pixels.numpy().view(np.uint8).reshape(-1, 4)[:, 3]
    assert 6 in found
    assert 2 not in found


def test_packing_in_processes_gives_the_same(packed, tmp_path):
    photos = paint_set(tmp_path / "photos")
    pack.main([str(photos), str(tmp_path / "packed"), "--workers", "2"])
    for name in ("florets.npy", "overview.npy"):
        assert np.array_equal(np.load(packed / name), np.load(tmp_path / "packed" / name))
    entries = [json.loads((p / "photos.json").read_text()) for p in (packed, tmp_path / "packed")]
    assert entries[0] == entries[1]


def test_what_cannot_be_read_is_named(tmp_path):
    (tmp_path / "set").mkdir()
    with pytest.raises(TrainingError, match=r"no NAME\.jpg"):
        pack.pack_set(tmp_path / "set", tmp_path / "packed")
    paint(tmp_path / "set", "p")
    (tmp_path / "set" / "p.jpg").write_bytes(b"no picture")
    with pytest.raises(TrainingError, match=r"p\.jpg"):
        pack.pack_set(tmp_path / "set", tmp_path / "packed")
    with pytest.raises(TrainingError, match="packed set"):
        load_sets([tmp_path / "packed"], "florets", device=CPU)
