"""Embedded profiles, against colour-science's definition of the same colour spaces."""

from __future__ import annotations

import struct

import colour
import numpy as np
import pytest
from PIL import Image, ImageCms

from spikecheck.photo import decode_photo

PATCHES = np.array([[120, 160, 70], [200, 190, 60], [235, 225, 170], [90, 60, 110]], np.uint8)


def _fixed(value):
    return struct.pack(">i", round(value * 65536))


def _display_p3_profile():
    """An ICC 2 matrix profile of Display P3: colorants adapted to D50, curve of sRGB as a table.

    Built from colour-science's primaries with the Bradford adaptation that ICC.1:2010, annex E,
    prescribes.
    """
    space = colour.RGB_COLOURSPACES["Display P3"]
    d65 = colour.xy_to_XYZ(space.whitepoint)
    d50 = np.array([0.9642, 1.0, 0.8249])
    adapt = colour.adaptation.matrix_chromatic_adaptation_VonKries(d65, d50, "Bradford")
    columns = (adapt @ space.matrix_RGB_to_XYZ).T
    steps = np.linspace(0, 1, 1024)
    linear = colour.models.eotf_sRGB(steps)
    curve = b"curv" + struct.pack(">II", 0, len(steps))
    curve += b"".join(struct.pack(">H", round(value * 65535)) for value in linear)
    xyz = [b"XYZ " + bytes(4) + b"".join(map(_fixed, column)) for column in (*columns, d50)]
    name = b"desc" + bytes(4) + struct.pack(">I", 3) + b"P3\0" + bytes(79)
    signatures = (b"rXYZ", b"gXYZ", b"bXYZ", b"wtpt", b"rTRC", b"gTRC", b"bTRC", b"desc", b"cprt")
    bodies = [*xyz, curve, curve, curve, name, b"text" + bytes(4) + b"none\0"]
    table, body, at = b"", b"", 128 + 4 + 12 * len(bodies)
    for signature, part in zip(signatures, bodies, strict=True):
        padded = part + bytes(-len(part) % 4)
        table += signature + struct.pack(">II", at + len(body), len(part))
        body += padded
    head = struct.pack(">I", at + len(body)) + bytes(4) + b"\x02\x10\0\0" + b"mntrRGB XYZ "
    head += struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp" + bytes(28)
    head += b"".join(map(_fixed, d50)) + bytes(48)
    return head + struct.pack(">I", len(bodies)) + table + body


def _patches_photo(encoded, reading, *, profile, kind="PNG", image=None):
    image = image or Image.fromarray(PATCHES[np.newaxis])
    data = encoded(image, kind, icc_profile=profile)
    return decode_photo(data, file="a", thresholds=reading).pixels


def test_display_p3_becomes_srgb(encoded, reading):
    """Expected values: colour-science, RGB_to_RGB from Display P3 to sRGB."""
    expected = colour.RGB_to_RGB(
        PATCHES / 255, "Display P3", "sRGB", apply_cctf_decoding=True, apply_cctf_encoding=True
    )
    expected = np.clip(expected, 0, 1) * 255
    pixels = _patches_photo(encoded, reading, profile=_display_p3_profile())
    assert np.abs(pixels[0] - expected).max() <= 2
    assert np.abs(PATCHES - expected).max() > 5  # the profile matters at all


def test_transparent_photo_with_a_profile(encoded, reading):
    image = Image.fromarray(PATCHES[np.newaxis]).convert("RGBA")
    plain = _patches_photo(encoded, reading, profile=_display_p3_profile())
    layered = _patches_photo(encoded, reading, profile=_display_p3_profile(), image=image)
    np.testing.assert_array_equal(layered, plain)


def test_srgb_profile_changes_nothing(encoded, reading):
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    pixels = _patches_photo(encoded, reading, profile=profile)
    np.testing.assert_array_equal(pixels[0], PATCHES)


@pytest.mark.parametrize(
    "profile",
    [
        b"no profile at all",
        _display_p3_profile()[:200],
        _display_p3_profile()[:140] + b"\xff" * 400,
        ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes(),
    ],
)
def test_a_broken_or_foreign_profile_is_ignored(profile, encoded, reading):
    pixels = _patches_photo(encoded, reading, profile=profile)
    np.testing.assert_array_equal(pixels[0], PATCHES)


def test_colour_profile_on_a_grey_photo_is_ignored(encoded, reading):
    grey = Image.new("L", (6, 4), 90)
    pixels = _patches_photo(encoded, reading, profile=_display_p3_profile(), image=grey)
    assert (pixels == 90).all()
