"""What the networks are taught is what is read from them: a perfect answer gives the truth back."""

from __future__ import annotations

import numpy as np
import pytest

torch = pytest.importorskip("torch")

from spikecheck.anthers.anther_maps import anthers_in_maps  # noqa: E402
from spikecheck.imaging.strip import Strip  # noqa: E402
from spikecheck.model_training import pack  # noqa: E402
from spikecheck.model_training.crops_florets import whole_strip  # noqa: E402
from spikecheck.model_training.frames_overview import whole_frames  # noqa: E402
from spikecheck.model_training.photo_set import load_sets  # noqa: E402
from spikecheck.model_training.sampling import placed, sampled  # noqa: E402
from spikecheck.model_training.targets_florets import floret_targets  # noqa: E402
from spikecheck.model_training.targets_overview import overview_targets  # noqa: E402
from spikecheck.model_training.views import florets_view  # noqa: E402
from spikecheck.networks import (  # noqa: E402
    FloretMap,
    FloretsTuned,
    LogitScaling,
    OverviewMap,
    OverviewTuned,
    letterbox,
)
from spikecheck.segmentation.floret_maps import florets_in_maps  # noqa: E402
from spikecheck.segmentation.overview_reading import read_overview  # noqa: E402
from spikecheck.thresholds import load_thresholds  # noqa: E402
from tests.model_training.painted_set import COLUMNS, PX_PER_MM, ROWS, paint  # noqa: E402
from tests.networks.colour_networks import FLORETS_TUNED, OVERVIEW_TUNED  # noqa: E402

CPU = torch.device("cpu")
THRESHOLDS = load_thresholds().networks
SURE = 8.0


@pytest.fixture(scope="module")
def one_photo(tmp_path_factory):
    """One painted photo, packed, and its truth."""
    folder = tmp_path_factory.mktemp("one")
    truth = paint(folder / "photos", "a", seed=2, anthers=3)
    pack.pack_set(folder / "photos", folder / "packed")
    return folder / "packed", truth


def logits(share) -> np.ndarray:
    """Logits of a share between 0 and 1, at most as sure as a network gets."""
    inside = np.clip(np.asarray(share, np.float32), 1 / (1 + np.exp(SURE)), 1 / (1 + np.exp(-SURE)))
    return np.log(inside) - np.log1p(-inside)


def test_a_perfect_overview_gives_axis_outline_and_scale(one_photo):
    folder, truth = one_photo
    photos = load_sets([folder], "overview", device=CPU)
    index = torch.tensor([0])
    frames = whole_frames(photos, index)
    _, classes = sampled(photos, index, frames.matrix, (512, 512))
    told = overview_targets(classes, photos, index, frames, torch.tensor([False]))
    maps = np.zeros((1, 6, 128, 128), np.float32)
    maps[:, OverviewMap.SPIKE] = logits(told.spike)
    maps[:, OverviewMap.OTHER_SPIKE] = logits(told.other)
    maps[:, OverviewMap.LN_SCALE] = told.ln_scale[:, None, None]
    maps[:, OverviewMap.LN_SCALE_VARIANCE] = np.log(0.05**2)
    maps[:, OverviewMap.DIRECTION : OverviewMap.DIRECTION + 2] = told.direction
    _, place = letterbox(np.zeros((ROWS, COLUMNS, 3), np.uint8))
    reading = read_overview(
        {"maps": maps, "globals": logits(told.answers.nan_to_num())}, place,
        tuned=OverviewTuned(**OVERVIEW_TUNED), thresholds=THRESHOLDS,
    )  # fmt: skip
    assert reading.scale.px_per_mm == pytest.approx(PX_PER_MM, rel=0.01)
    true = np.array([[point.row, point.column] for point in truth.axis])
    np.testing.assert_allclose(reading.spike.axis[[0, -1]], true[[0, -1]], atol=3)
    assert not reading.spike.cut_off
    assert (reading.other_spikes, reading.not_prepared) == (0, False)


def strip_of(truth, matrix, size) -> Strip:
    """The strip whose pixels lie in the photo where the crop's do."""
    to_photo = np.linalg.inv(np.vstack([florets_view(truth).matrix, [0, 0, 1]]))
    whole = to_photo @ np.vstack([matrix[0].numpy(), [0, 0, 1]])
    rows, columns = np.indices(size)
    places = np.stack([rows, columns, np.ones(size)])
    photo_rows, photo_columns, _ = np.tensordot(whole, places, axes=1).astype(np.float32)
    inside = (photo_rows >= 0) & (photo_rows < ROWS) & (photo_columns >= 0)
    return Strip(
        pixels=np.zeros((*size, 3), np.uint8), inside=inside & (photo_columns < COLUMNS),
        photo_rows=photo_rows, photo_columns=photo_columns, tip_row=140.0,
        base_row=size[0] - 141.0, axis_column=(size[1] - 1) / 2, zoom=20 / PX_PER_MM,
    )  # fmt: skip


def perfect_maps(photos, matrix, size) -> np.ndarray:
    """The florets network's maps if it had learned everything."""
    index = torch.tensor([0])
    _, classes = sampled(photos, index, matrix, size)
    told = floret_targets(
        classes, placed(photos.anthers[index], matrix, size),
        placed(photos.florets[index], matrix, size), complete=photos.complete[index],
        florets_marked=photos.florets_marked[index], side_sign=matrix[:, 1, 1].sign(),
    )  # fmt: skip
    maps = np.full((20, size[0] // 4, size[1] // 4), -SURE, np.float32)
    maps[FloretMap.ANTHER_HEAT] = logits(told.anther_heat[0])
    maps[FloretMap.FLORET_HEAT] = logits(told.floret_heat[0])
    maps[FloretMap.UNCUT] = logits(told.uncut[0])
    for first, kinds in (
        (FloretMap.TISSUE, told.tissue),
        (FloretMap.ANTHER_PIXEL, told.anther_pixel),
    ):
        number = kinds[0].clamp(min=0).numpy()[None]
        np.put_along_axis(maps[first : first + 3 + (first > 0)], number, SURE, axis=0)
    for cells, counted, named in (
        (told.anther_cells, told.anther_taught, {
            FloretMap.NEAR_ANTHESIS: told.near_anthesis, FloretMap.BROKEN: told.broken}),
        (told.floret_cells, told.floret_taught, {
            FloretMap.CLIPPED: told.clipped, FloretMap.CAVITY: told.cavity,
            FloretMap.HOLDS_ANTHER: told.holds_anther, FloretMap.LEFT: told.left}),
    ):  # fmt: skip
        for channel, share in named.items():
            for (row, column), value in zip(
                cells[0][counted[0]], share[0][counted[0]], strict=True
            ):
                maps[channel, row, column] = logits(value)
    for first, cells, counted, ln_mm in (
        (FloretMap.ANTHER_SIZE, told.anther_cells, told.anther_taught, told.anther_ln_mm),
        (FloretMap.FLORET_SIZE, told.floret_cells, told.floret_taught, told.floret_ln_mm),
    ):
        for (row, column), size_ln in zip(cells[0][counted[0]], ln_mm[0][counted[0]], strict=True):
            maps[first : first + 2, row, column] = size_ln
    return maps


def test_perfect_floret_maps_give_every_floret_and_anther(one_photo):
    folder, truth = one_photo
    photos = load_sets([folder], "florets", device=CPU)
    matrix, size = whole_strip(photos, 0, 32)
    strip, maps = strip_of(truth, matrix, size), perfect_maps(photos, matrix, size)
    more = {"tuned": FloretsTuned(**FLORETS_TUNED), "thresholds": THRESHOLDS}
    raw = LogitScaling(1.0, 0.0)
    found = florets_in_maps(maps, strip, not_prepared=False, scaling=raw, **more)
    assert len(found) == len(truth.florets)
    held = {anther.floret for anther in truth.anthers}
    id_of = {}  # by the painted one's: those are numbered from the top
    for true in truth.florets:
        seen = min((each.floret for each in found), key=lambda floret: apart(floret, true))
        id_of[true.id] = seen.id
        assert apart(seen, true) < 0.2 * PX_PER_MM
        assert (seen.side, seen.clipped) == (true.side, true.clipped)
        assert (seen.p_anther > 0.5) is (true.id in held)
        assert seen.cavity_seen == pytest.approx(true.cavity_visible, abs=0.01)
        for edge in ("top", "left", "bottom", "right"):
            assert getattr(seen.box, edge) == pytest.approx(getattr(true.box, edge), abs=2.5)
    boxes = {each.floret.id: each.strip_box for each in found}
    anthers = anthers_in_maps(maps, strip, boxes, scaling=raw, **more)
    assert len(anthers) == len(truth.anthers)
    for true in truth.anthers:
        seen = min(anthers, key=lambda anther: apart(anther, true))
        assert apart(seen, true) < 0.2 * PX_PER_MM
        assert (seen.floret, seen.stage) == (id_of[true.floret], true.stage)
        assert (seen.near_anthesis, seen.broken) == (true.near_anthesis, true.broken)
        assert seen.length_mm == pytest.approx(true.length_mm, abs=0.3)


def apart(one, other) -> float:
    """Distance of the middles of two things, px."""
    return np.hypot(one.centre.row - other.centre.row, one.centre.column - other.centre.column)
