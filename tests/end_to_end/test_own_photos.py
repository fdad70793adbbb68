"""Own photos, from the first mark to the set that a network is fitted on."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image

from spikecheck.labelling import LabelSession, answers, edits, floret_edits
from spikecheck.labelling.export import export_labels
from spikecheck.labelling.progress import folder_progress
from spikecheck.labelling.proposals import propose
from spikecheck.photo import read_photo
from spikecheck.pipeline.batch_folder import list_photos
from spikecheck.pipeline.finders import NetworkFreeFinder
from spikecheck.synthetic.image import make_image
from spikecheck.thresholds import load_thresholds

if TYPE_CHECKING:
    from pathlib import Path

    from spikecheck.synthetic.image import SyntheticImage

_SIDEWAYS = 6  # EXIF orientation of a phone held sideways
_MOST_COLOUR_OFF = 25  # of 255: the packed view is scaled and turned


@pytest.fixture(scope="module")
def drawn() -> SyntheticImage:
    return make_image("leftover_yellow", seed=2)


def test_marks_on_a_turned_photo_are_what_a_network_is_fitted_on(
    drawn: SyntheticImage, tmp_path: Path
):
    exif = Image.Exif()
    exif[0x0112] = _SIDEWAYS
    (tmp_path / "own").mkdir()
    file = tmp_path / "own" / "spike.jpg"
    Image.fromarray(np.rot90(drawn.pixels)).save(file, quality=95, exif=exif)
    thresholds = load_thresholds()
    photo = read_photo(file, thresholds=thresholds.reading)
    session = LabelSession(list_photos(tmp_path / "own", recursive=False))
    state = session.open(file, width=photo.width, height=photo.height)

    truth = drawn.truth
    assert truth.axis is not None
    assert truth.px_per_mm is not None
    base, tip = truth.axis[0], truth.axis[-1]
    length_px = float(np.hypot(tip.row - base.row, tip.column - base.column))
    for anther in truth.anthers:
        assert anther.stage is not None
        mark = partial(edits.add_anther, place=anther.centre, stage=anther.stage)
        session.change(mark, by="Ilse")
    session.change(partial(floret_edits.set_axis, base=base, tip=tip), by="Ilse")
    length_mm = length_px / truth.px_per_mm
    session.change(partial(floret_edits.set_length, length_mm=length_mm), by="Ilse")
    seen = NetworkFreeFinder(thresholds).find(photo)
    session.suggest(
        propose(seen, state.truth, score_least=thresholds.assessment.anther_score_least)
    )
    session.change(partial(answers.confirm_florets, axis=None), by="Ilse")
    session.change(edits.finish, by="Ilse")
    (copied,) = export_labels(folder_progress(session.photos), tmp_path / "set")

    from spikecheck.model_training.pack import pack_set

    pack_set(tmp_path / "set", tmp_path / "pack")
    tables = np.load(tmp_path / "pack" / "tables.npz")
    assert copied.read_bytes() == file.read_bytes()
    assert tables["florets_anthers_count"].tolist() == [len(truth.anthers)]
    assert tables["florets_florets_count"].tolist() == [len(seen.florets)]
    # What is packed at each anther has the colour that was drawn there, turned photo or not.
    rows, columns = tables["florets_size"][0]
    packed = np.load(tmp_path / "pack" / "florets.npy").reshape(rows, columns, 4)[..., :3]
    for anther, row in zip(truth.anthers, tables["florets_anthers"], strict=True):
        there = mean_colour(drawn.pixels, anther.centre.row, anther.centre.column)
        assert np.abs(mean_colour(packed, row[0], row[1]) - there).max() < _MOST_COLOUR_OFF


def mean_colour(pixels: np.ndarray, row: float, column: float) -> np.ndarray:
    """Return the mean colour of the 5 x 5 pixels about a place."""
    r, c = round(float(row)), round(float(column))
    return pixels[r - 2 : r + 3, c - 2 : c + 3].reshape(-1, 3).mean(axis=0)
