"""What the finder is shown of a photo with a tag in it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
import pytest

from spikecheck.pipeline.tag_hiding import find_beside_tags
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Scale, ScaleSource, SeenTag
from spikecheck.vocabulary.tag_layout import QR_SIDE_MM
from tests.builders import HEIGHT, MODEL, WIDTH, findings, photo

THRESHOLDS = load_thresholds().tags
PX_PER_MM = 10.0
MARGIN_PX = THRESHOLDS.margin_mm * PX_PER_MM
AROUND = (40, 90, 70)  # the colour of the bench
# The spike of ``findings()`` takes rows 60 to 900 and columns 130 to 270.
CLEAR = (100, 310, 300, 380)  # first row and column, last row and column
TOUCHING = (100, 280, 300, 380)  # its margin reaches over the edge of the spike


@dataclass
class Witness:
    """Tells a clean spike, or another finding at each look, and remembers what it was shown."""

    tells: list = field(default_factory=list)
    shown: list = field(default_factory=list)
    model = MODEL

    def find(self, one):
        self.shown.append(one)
        return self.tells[len(self.shown) - 1] if self.tells else findings()


def tag(place, *, scale=True):
    top, left, bottom, right = place
    outline = np.array(
        [(top, left), (top, right), (bottom, right), (bottom, left)], dtype=np.float64
    )
    side = QR_SIDE_MM * PX_PER_MM
    symbol = np.array(
        [(top, left), (top, left + side), (top + side, left + side), (top + side, left)]
    )
    known = Scale(PX_PER_MM, ScaleSource.TAG, 9.9, 10.1) if scale else None
    return SeenTag("6PYX4C5Y", outline, symbol, known, None)


def taken(*places):
    """A photo of a bench, noisy where tags lie so that nothing of them can stay unseen."""
    pixels = np.full((HEIGHT, WIDTH, 3), AROUND, np.uint8)
    rng = np.random.default_rng(1)
    for top, left, bottom, right in places:
        pixels[top : bottom + 1, left : right + 1] = rng.integers(
            150, 256, (bottom - top + 1, right - left + 1, 3)
        )
    pixels[500, 200] = (250, 1, 1)  # one mark on the spike
    return replace(photo(), pixels=pixels)


def look(one, tags, witness):
    return find_beside_tags(one, tags, finder=witness, thresholds=THRESHOLDS)


def distance(place):
    """How far each pixel lies from a tag, px, 0 within it."""
    rows, columns = np.mgrid[:HEIGHT, :WIDTH]
    top, left, bottom, right = place
    down = np.maximum(0, np.maximum(top - rows, rows - bottom))
    along = np.maximum(0, np.maximum(left - columns, columns - right))
    return np.hypot(down, along)


def test_without_a_tag_the_photo_itself_is_looked_at():
    witness, one = Witness(), taken()
    look(one, [], witness)
    assert len(witness.shown) == 1
    assert witness.shown[0] is one


@pytest.mark.parametrize("scale", [True, False])
def test_a_tag_clear_of_the_spike_is_painted_over_and_the_rest_untouched(scale):
    told = findings()
    witness, one = Witness([told]), taken(CLEAR)
    before = one.pixels.copy()
    found = look(one, [tag(CLEAR, scale=scale)], witness)
    assert found is told
    (shown,) = witness.shown
    assert (shown.file, shown.sha256) == (one.file, one.sha256)
    far = distance(CLEAR)
    assert (shown.pixels[far == 0] == AROUND).all()
    assert (shown.pixels[far > MARGIN_PX + 2] == before[far > MARGIN_PX + 2]).all()
    assert (one.pixels == before).all(), "the photo as taken stays as it is"


def test_shadow_and_cut_edge_within_the_margin_are_painted_over_too():
    witness, one = Witness(), taken(CLEAR)
    far = distance(CLEAR)
    rim = (far > 0) & (far < MARGIN_PX - 2)
    one.pixels[rim] = (5, 5, 5)
    look(one, [tag(CLEAR)], witness)
    assert (witness.shown[0].pixels[rim] == AROUND).all()


@pytest.mark.parametrize("place", [TOUCHING, (400, 180, 600, 380)])
def test_a_tag_that_touches_the_found_spike_leaves_the_photo_as_taken(place):
    aside, as_taken = findings(unexplained=0.25), findings(unexplained=0.5)
    witness, one = Witness([aside, as_taken]), taken(place)
    assert look(one, [tag(place)], witness) is as_taken
    first, second = witness.shown
    assert not (first.pixels == one.pixels).all()
    assert second is one


def test_one_tag_of_two_that_touches_is_enough():
    witness, one = Witness(), taken(CLEAR, TOUCHING)
    look(one, [tag(CLEAR), tag(TOUCHING)], witness)
    assert len(witness.shown) == 2
    assert witness.shown[1] is one


def test_where_no_spike_is_found_nothing_can_touch_it():
    none = findings(with_spike=False)
    witness, one = Witness([none]), taken(TOUCHING)
    assert look(one, [tag(TOUCHING)], witness) is none
    assert len(witness.shown) == 1


def test_a_tag_that_lies_half_outside_of_the_photo_is_painted_over():
    place = (-50, 350, 80, 460)
    witness, one = Witness(), taken((0, 350, 80, WIDTH - 1))
    look(one, [tag(place)], witness)
    (shown,) = witness.shown
    assert (shown.pixels[:80, 350:] == AROUND).all()
    assert (shown.pixels[:, :300] == one.pixels[:, :300]).all()


def test_a_tag_that_fills_the_photo_leaves_no_colour_to_paint_with():
    place = (-10, -10, HEIGHT + 10, WIDTH + 10)
    witness, one = Witness(), taken()
    look(one, [tag(place)], witness)
    assert all((shown.pixels == one.pixels).all() for shown in witness.shown)
