"""Where the spike is: drawn photos with a known spike, under light of any colour."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from spikecheck.imaging.white_balance import srgb_from_linear
from spikecheck.segmentation.locate import LocatedSpike, locate_spike
from spikecheck.segmentation.strip_masks import strip_masks
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Photo
from tests.segmentation.drawing import spike_mask

THRESHOLDS = load_thresholds()
CARD, GREEN = (0.42, 0.42, 0.42), (0.14, 0.24, 0.06)  # linear light
SIZE = (1600, 1200)
LENGTH, WIDTH, MIDDLE = 860.0, 165.0, (740.0, 600.0)


def photo_of(mask: np.ndarray, *, light: tuple[float, float] = (1.0, 1.0)) -> Photo:
    """Plant tissue with a grain on a grey card, under light of this red and blue."""
    noise = cv2.GaussianBlur(np.random.default_rng(8).normal(size=mask.shape), (0, 0), 1.5)
    grain = np.clip(1 + 0.3 * noise / noise.std(), 0.2, 2)
    linear = np.where(mask[..., None], np.array(GREEN) * grain[..., None], np.array(CARD))
    linear = linear * (light[0], 1.0, light[1])
    return Photo("drawn.png", "0" * 64, np.round(srgb_from_linear(linear) * 255).astype(np.uint8))


def drawn(**changes: float) -> np.ndarray:
    shape = {"size": SIZE, "centre": MIDDLE, "length": LENGTH, "width": WIDTH}
    return spike_mask(**(shape | {"awns": False} | changes))


def located(photo: Photo) -> LocatedSpike | None:
    return locate_spike(photo, thresholds=THRESHOLDS.segmentation, colour=THRESHOLDS.colour)


def test_axis_width_and_outline_are_those_of_the_drawn_spike():
    mask = drawn()
    spike = located(photo_of(mask))
    base, tip = (MIDDLE[0] + LENGTH / 2, MIDDLE[1]), (MIDDLE[0] - LENGTH / 2, MIDDLE[1])
    assert np.linalg.norm(spike.axis[0] - base) < 45
    assert np.linalg.norm(spike.axis[-1] - tip) < 45
    assert spike.width_px == pytest.approx(WIDTH, abs=10)
    assert (spike.cut_off, spike.hidden_share, spike.others) == (False, 0, 0)
    filled = np.zeros(SIZE, np.uint8)
    cv2.fillPoly(filled, [np.round(spike.outline[:, ::-1]).astype(np.int32)], 1)
    body = drawn(stem=0)
    both, either = (body & (filled > 0)).sum(), (body | (filled > 0)).sum()
    assert both > 0.92 * either


@pytest.mark.parametrize(("red", "blue"), [(1.12, 0.9), (0.92, 1.1), (1.08, 1.08)])
def test_the_colour_of_the_light_changes_neither_place_nor_colour(red, blue):
    mask = drawn(direction_deg=60)
    plain, cast = located(photo_of(mask)), located(photo_of(mask, light=(red, blue)))
    assert plain.balance.certain
    assert cast.balance.certain
    assert np.abs(cast.axis - plain.axis).max() < 6
    assert cast.width_px == pytest.approx(plain.width_px, rel=0.03)
    middle = np.s_[200:-200, 110:-110]
    colours = [np.median(spike.lab[middle].reshape(-1, 3), axis=0) for spike in (plain, cast)]
    assert np.abs(colours[0] - colours[1]).max() < 2


def test_a_larger_picture_of_the_same_gives_the_same_strip():
    """Twice the pixels: the working scale is that of the spike, not of the camera."""
    small = photo_of(drawn())
    pixels = cv2.resize(small.pixels, None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC)
    one, two = located(small), located(Photo("drawn.png", "0" * 64, pixels))
    assert two.axis == pytest.approx(one.axis * 2 + 0.5, abs=4)
    assert two.strip.zoom == pytest.approx(
        THRESHOLDS.segmentation.strip_width_px / two.width_px, rel=1e-6
    )
    assert one.strip.zoom == 1  # never enlarged
    body = (two.strip.inside & strip_masks(two, colour=THRESHOLDS.colour)[1]).any(axis=0)
    assert body.sum() == pytest.approx(THRESHOLDS.segmentation.strip_width_px, rel=0.08)


def test_the_strips_masks_are_the_drawn_spike():
    mask = drawn()
    spike = located(photo_of(mask))
    plant, outline = strip_masks(spike, colour=THRESHOLDS.colour)
    rows = np.clip(np.round(spike.strip.photo_rows).astype(int), 0, SIZE[0] - 1)
    columns = np.clip(np.round(spike.strip.photo_columns).astype(int), 0, SIZE[1] - 1)
    assert (plant == mask[rows, columns]).mean() > 0.98
    body = drawn(stem=0)[rows, columns]
    assert (outline & body).sum() > 0.92 * (outline | body).sum()


def test_a_spike_at_the_edge_is_cut_off_and_a_cut_stem_is_none():
    assert located(photo_of(drawn(centre=(300.0, 600.0)))).cut_off
    assert not located(photo_of(drawn(centre=(1000.0, 600.0)))).cut_off  # its stem leaves the frame


def test_a_bar_across_hides_its_share():
    mask = drawn()
    mask[700:800] = False
    spike = located(photo_of(mask))
    assert 100 / LENGTH - 0.02 < spike.hidden_share < 180 / LENGTH
    assert np.linalg.norm(spike.axis[0] - spike.axis[-1]) == pytest.approx(LENGTH, rel=0.1)
    assert np.ptp(spike.outline[:, 0]) == pytest.approx(LENGTH, rel=0.1)  # one outline round both


@pytest.mark.parametrize(("length", "others"), [(760.0, 1), (300.0, 0)])
def test_another_spike_counts_when_it_is_of_similar_length(length, others):
    mask = drawn(centre=(740.0, 350.0)) | drawn(centre=(740.0, 850.0), length=length, width=110.0)
    assert located(photo_of(mask)).others == others


def test_a_card_and_a_canopy_hold_no_spike():
    assert located(photo_of(np.zeros(SIZE, dtype=bool))) is None
    assert located(photo_of(np.ones(SIZE, dtype=bool))) is None
