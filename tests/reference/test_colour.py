"""Colour against published tables and an independent library."""

from __future__ import annotations

import colour
import numpy as np
import pytest

from spikecheck.imaging.colour import colour_difference, lab_from_srgb

# G. Sharma, W. Wu, E. N. Dalal (2005), Color Research and Application 30:21-30, Table 1:
# L*, a*, b* of both colours and the difference, all 34 pairs.
_SHARMA_2005 = np.array(
    [
        (50.0000, 2.6772, -79.7751, 50.0000, 0.0000, -82.7485, 2.0425),
        (50.0000, 3.1571, -77.2803, 50.0000, 0.0000, -82.7485, 2.8615),
        (50.0000, 2.8361, -74.0200, 50.0000, 0.0000, -82.7485, 3.4412),
        (50.0000, -1.3802, -84.2814, 50.0000, 0.0000, -82.7485, 1.0000),
        (50.0000, -1.1848, -84.8006, 50.0000, 0.0000, -82.7485, 1.0000),
        (50.0000, -0.9009, -85.5211, 50.0000, 0.0000, -82.7485, 1.0000),
        (50.0000, 0.0000, 0.0000, 50.0000, -1.0000, 2.0000, 2.3669),
        (50.0000, -1.0000, 2.0000, 50.0000, 0.0000, 0.0000, 2.3669),
        (50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0009, 7.1792),
        (50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0010, 7.1792),
        (50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0011, 7.2195),
        (50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0012, 7.2195),
        (50.0000, -0.0010, 2.4900, 50.0000, 0.0009, -2.4900, 4.8045),
        (50.0000, -0.0010, 2.4900, 50.0000, 0.0010, -2.4900, 4.8045),
        (50.0000, -0.0010, 2.4900, 50.0000, 0.0011, -2.4900, 4.7461),
        (50.0000, 2.5000, 0.0000, 50.0000, 0.0000, -2.5000, 4.3065),
        (50.0000, 2.5000, 0.0000, 73.0000, 25.0000, -18.0000, 27.1492),
        (50.0000, 2.5000, 0.0000, 61.0000, -5.0000, 29.0000, 22.8977),
        (50.0000, 2.5000, 0.0000, 56.0000, -27.0000, -3.0000, 31.9030),
        (50.0000, 2.5000, 0.0000, 58.0000, 24.0000, 15.0000, 19.4535),
        (50.0000, 2.5000, 0.0000, 50.0000, 3.1736, 0.5854, 1.0000),
        (50.0000, 2.5000, 0.0000, 50.0000, 3.2972, 0.0000, 1.0000),
        (50.0000, 2.5000, 0.0000, 50.0000, 1.8634, 0.5757, 1.0000),
        (50.0000, 2.5000, 0.0000, 50.0000, 3.2592, 0.3350, 1.0000),
        (60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644),
        (63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.2630),
        (61.2901, 3.7196, -5.3901, 61.4292, 2.2480, -4.9620, 1.8731),
        (35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645),
        (22.7233, 20.0904, -46.6940, 23.0331, 14.9730, -42.5619, 2.0373),
        (36.4612, 47.8580, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146),
        (90.8027, -2.0831, 1.4410, 91.1528, -1.6435, 0.0447, 1.4441),
        (90.9257, -0.5406, -0.9208, 88.6381, -0.8985, -0.7239, 1.5381),
        (6.7747, -0.2908, -2.4247, 5.8714, -0.0985, -2.2286, 0.6377),
        (2.0776, 0.0795, -1.1350, 0.9033, -0.0636, -0.5514, 0.9082),
    ]
)

# sRGB values of the 24-patch chart as published with the chart, 8 bit.
_PATCHES = {
    "Dark skin": (115, 82, 68),
    "Light skin": (194, 150, 130),
    "Blue sky": (98, 122, 157),
    "Foliage": (87, 108, 67),
    "Blue flower": (133, 128, 177),
    "Bluish green": (103, 189, 170),
    "Orange": (214, 126, 44),
    "Purplish blue": (80, 91, 166),
    "Moderate red": (193, 90, 99),
    "Purple": (94, 60, 108),
    "Yellow green": (157, 188, 64),
    "Orange yellow": (224, 163, 46),
    "Blue": (56, 61, 150),
    "Green": (70, 148, 73),
    "Red": (175, 54, 60),
    "Yellow": (231, 199, 31),
    "Magenta": (187, 86, 149),
    "Cyan": (8, 133, 161),
    "White": (243, 243, 242),
    "Neutral 8": (200, 200, 200),
    "Neutral 6.5": (160, 160, 160),
    "Neutral 5": (122, 122, 121),
    "Neutral 3.5": (85, 85, 85),
    "Black": (52, 52, 52),
}

# IEC 61966-2-1 (sRGB) primaries, greys and one published worked example, converted with the
# standard's matrix to CIELAB for D65.
_SRGB_LAB = {
    (255, 0, 0): (53.2408, 80.0925, 67.2032),
    (0, 255, 0): (87.7347, -86.1827, 83.1793),
    (0, 0, 255): (32.2970, 79.1875, -107.8602),
    (255, 255, 0): (97.1393, -21.5537, 94.4780),
    (119, 119, 119): (50.0344, 0.0, 0.0),
    (128, 128, 128): (53.5850, 0.0, 0.0),
    (255, 255, 255): (100.0, 0.0, 0.0),
    (56, 79, 132): (34.1862, 8.0653, -32.4723),
}

# What `lab_from_srgb` promises: OpenCV interpolates tables.
_PROMISED = 0.5


def _lab(rgb: tuple[int, int, int]) -> np.ndarray:
    return lab_from_srgb(np.array([[rgb]], dtype=np.uint8))[0, 0]


@pytest.mark.parametrize("row", _SHARMA_2005)
def test_colour_difference_of_every_published_pair(row):
    assert colour_difference(row[:3], row[3:6]) == pytest.approx(row[6], abs=5e-5)


@pytest.mark.parametrize("row", _SHARMA_2005)
def test_colour_difference_is_symmetric(row):
    assert colour_difference(row[3:6], row[:3]) == pytest.approx(row[6], abs=5e-5)


@pytest.mark.parametrize(("rgb", "expected"), _SRGB_LAB.items())
def test_lab_of_standard_colours(rgb, expected):
    assert _lab(rgb) == pytest.approx(expected, abs=_PROMISED)


@pytest.mark.parametrize("rgb", _PATCHES.values(), ids=_PATCHES.keys())
def test_lab_of_chart_patches_against_colour_science(rgb):
    d65 = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    expected = colour.XYZ_to_Lab(colour.sRGB_to_XYZ(np.array(rgb) / 255), d65)
    assert _lab(rgb) == pytest.approx(expected, abs=_PROMISED)


def test_lab_of_all_greys_and_random_colours_against_colour_science():
    rng = np.random.default_rng(1)
    rgb = np.concatenate(
        [np.repeat(np.arange(256), 3).reshape(-1, 3), rng.integers(0, 256, (20_000, 3))]
    ).astype(np.uint8)
    d65 = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    expected = colour.XYZ_to_Lab(colour.sRGB_to_XYZ(rgb / 255), d65)
    assert np.abs(lab_from_srgb(rgb[None])[0] - expected).max() < _PROMISED
