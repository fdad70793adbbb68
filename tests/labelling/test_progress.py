"""How far a folder is, in spikes; and its export."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PIL import Image

from spikecheck.errors import CalibrationError, OutputError, UsageError
from spikecheck.labelling.export import export_labels
from spikecheck.labelling.label_file import label_path
from spikecheck.labelling.progress import Marking, folder_progress
from spikecheck.vocabulary import (
    AntherStage,
    PhotoTruth,
    Point,
    TrueAnther,
    read_truth,
    write_truth,
)
from tests.labelling.conftest import HEIGHT, WIDTH, write_photo


def mark(photo, *stages, complete=True, spike=None):
    there = tuple(TrueAnther(Point(9, 9), stage=stage) for stage in stages)
    truth = PhotoTruth(photo.name, WIDTH, HEIGHT, there, complete=complete, spike=spike)
    write_truth(truth, label_path(photo))


def test_photos_are_counted_by_how_far_they_are(photos):
    mark(photos[0], AntherStage.GREEN, AntherStage.GREEN, AntherStage.YELLOW)
    mark(photos[1], AntherStage.DEHISCED, complete=False)
    progress = folder_progress(photos)
    assert [each.marking for each in progress.photos] == [
        Marking.FINISHED, Marking.BEGUN, Marking.OPEN,
    ]  # fmt: skip
    assert progress.leftovers == {AntherStage.GREEN: 2, AntherStage.YELLOW: 1}
    assert (progress.leftover_spikes, progress.clean_spikes) == (1, 0)
    # 99 for 1 %, 19 for 5 %: the smallest n with 1 / (n + 1) within the share (Angelopoulos et
    # al. 2022, arXiv 2208.02814)
    assert (progress.lacking(0.01), progress.lacking(0.05)) == (98, 18)


def test_photos_of_one_spike_count_once(photos):
    mark(photos[0], AntherStage.GREEN, spike="T-4")
    mark(photos[1], spike="T-4")
    mark(photos[2])
    progress = folder_progress(photos)
    assert (progress.leftover_spikes, progress.clean_spikes) == (1, 1)


def test_a_damaged_truth_file_is_named_and_the_rest_counts(photos):
    mark(photos[0], AntherStage.GREEN)
    label_path(photos[1]).write_text("{", encoding="utf-8")
    progress = folder_progress(photos)
    assert progress.photos[1].marking is Marking.DAMAGED
    assert str(label_path(photos[1])) in progress.photos[1].problem
    assert progress.leftover_spikes == 1


def test_nothing_lacks_when_there_are_enough(tmp_path):
    photos = [write_photo(tmp_path / f"{n}.png") for n in range(19)]
    for photo in photos:
        mark(photo, AntherStage.GREEN)
    assert folder_progress(photos).lacking(0.05) == 0


def test_finished_photos_become_a_set_to_fit_on(photos, tmp_path):
    jpeg = write_photo(tmp_path / "turned.JPG")
    mark(jpeg)
    mark(photos[0], AntherStage.GREEN)
    mark(photos[1], complete=False)
    photos = (*photos, jpeg)
    out = tmp_path / "made" / "out"
    progress = folder_progress(photos)
    assert export_labels(progress, out) == (out / "a.jpg", out / "turned.jpg")
    assert export_labels(progress, out) == (out / "a.jpg", out / "turned.jpg")
    assert sorted(path.name for path in out.iterdir()) == [
        "a.jpg", "a.json", "turned.jpg", "turned.json",
    ]  # fmt: skip
    assert (out / "turned.jpg").read_bytes() == jpeg.read_bytes()
    with Image.open(out / "a.jpg") as made:
        assert (made.format, made.size) == ("JPEG", (WIDTH, HEIGHT))
    truth = read_truth(out / "a.json")
    assert truth == replace(read_truth(label_path(photos[0])), image="a.jpg")


def test_an_export_never_overwrites_another_photo(photos, tmp_path):
    mark(photos[0])
    progress = folder_progress(photos)
    (tmp_path / "out").mkdir()
    write_photo(tmp_path / "out" / "a.jpg", 200)
    with pytest.raises(UsageError, match="another photo of this name"):
        export_labels(progress, tmp_path / "out")
    with pytest.raises(UsageError, match="the folder of the photos themselves"):
        export_labels(progress, tmp_path)


def test_an_export_that_cannot_be_is_told(photos, tmp_path):
    with pytest.raises(CalibrationError, match="no photo is finished"):
        export_labels(folder_progress(photos), tmp_path / "out")
    mark(photos[0])
    with pytest.raises(OutputError, match="cannot be copied"):
        export_labels(folder_progress(photos), photos[1])
