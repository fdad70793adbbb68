"""White balance: a known cast over a known grey is taken out."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.imaging.colour import chroma, lab_from_srgb
from spikecheck.imaging.white_balance import (
    balanced_lab,
    estimate_white_balance,
    linear_from_srgb,
    srgb_from_linear,
)
from spikecheck.thresholds import load_thresholds

COLOUR = load_thresholds().colour


def scene(red: float, blue: float, grey_rows: int = 40) -> np.ndarray:
    """A grey card above green leaves, under a light of the given red and blue."""
    linear = np.full((100, 60, 3), 0.35)
    linear[grey_rows:] = (0.10, 0.22, 0.05)
    return np.round(srgb_from_linear(linear * (red, 1.0, blue)) * 255).astype(np.uint8)


@given(red=st.floats(1.0, 1.12), blue=st.floats(0.88, 1.1))
def test_the_card_becomes_neutral(red, blue):
    pixels = scene(red, blue)
    balance = estimate_white_balance(pixels, thresholds=COLOUR)
    assert balance.certain
    assert chroma(balanced_lab(pixels, balance)[:40]).max() < 1.5


@given(encoded=st.floats(0, 1))
def test_encoding_undoes_decoding(encoded):
    assert abs(srgb_from_linear(linear_from_srgb(np.array(encoded))) - encoded) < 1e-6


def test_without_grey_the_photo_is_left_alone():
    pixels = scene(1.0, 1.0, grey_rows=0)
    balance = estimate_white_balance(pixels, thresholds=COLOUR)
    assert not balance.certain
    assert np.array_equal(balanced_lab(pixels, balance), lab_from_srgb(pixels))


def test_a_strong_cast_is_not_taken_for_grey():
    assert not estimate_white_balance(scene(1.6, 0.5), thresholds=COLOUR).certain
