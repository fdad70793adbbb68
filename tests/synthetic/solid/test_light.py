"""Light: directions, colours of black bodies, balance, and no teal from a blue sky."""

import numpy as np
import pytest

from spikecheck.synthetic.solid import sky
from spikecheck.synthetic.solid.blackbody import white_of
from spikecheck.synthetic.solid.light import FAMILIES, draw_light
from spikecheck.synthetic.solid.surround import SURROUNDS


def test_directions_are_of_length_one_and_start_straight_up():
    where = sky.directions()
    assert np.linalg.norm(where, axis=-1) == pytest.approx(1, abs=1e-5)
    assert where[0, 0, 2] > 0.9999
    assert where[-1, 0, 2] < -0.9999
    middle = where[sky.HEIGHT // 2, sky.WIDTH // 2]
    assert middle == pytest.approx((0, -1, 0), abs=0.01)


def test_solid_angles_sum_to_the_sphere():
    assert float(sky.solid_angles().sum(dtype=float)) == pytest.approx(4 * np.pi, rel=1e-4)


def test_a_uniform_sky_of_radiance_one_throws_pi_on_any_surface():
    even = np.ones((sky.HEIGHT, sky.WIDTH, 3), np.float32)
    for normal in ((0, 0, 1), (0, -1, 0), (0.6, 0, 0.8)):
        assert sky.irradiance(even, normal) == pytest.approx([np.pi] * 3, rel=1e-3)


def test_a_disc_covers_its_solid_angle():
    disc = sky.disc(sky.toward(30, 40), 20, 0.5)
    covered = float((disc * sky.solid_angles()).sum(dtype=float))
    assert covered == pytest.approx(2 * np.pi * (1 - np.cos(np.radians(20))), rel=0.02)


def test_a_panel_overhead_covers_the_solid_angle_of_a_square_pyramid():
    cover = sky.panel(np.array([0, 0, 1.0], np.float32), (0.5, 0.5), 17.0)
    covered = float((cover * sky.solid_angles()).sum(dtype=float))
    # Solid angle of a square plate of half side a at distance 1: 4 asin(a^2 / (1 + a^2)).
    assert covered == pytest.approx(4 * np.arcsin(0.25 / 1.25), rel=0.1)


def test_azimuth_ninety_is_to_the_right_of_the_picture():
    assert sky.toward(90, 0) == pytest.approx((1, 0, 0), abs=1e-6)


@pytest.mark.parametrize(
    ("kelvin", "x", "y"),
    # Illuminant A and the D65 neighbourhood of the Planckian locus, CIE 15:2018 from memory.
    [(2856, 0.4476, 0.4074), (6504, 0.3135, 0.3237)],
)
def test_black_bodies_have_their_published_chromaticity(kelvin: float, x: float, y: float):
    to_xyz = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    xyz = to_xyz @ white_of(kelvin)
    assert xyz[:2] / xyz.sum() == pytest.approx((x, y), abs=0.004)


@pytest.mark.parametrize("family", FAMILIES)
def test_lights_are_finite_positive_and_of_one_strength(family: str):
    rng = np.random.default_rng(3)
    light = draw_light(rng, family)
    assert light.family == family
    assert light.surround in SURROUNDS[False] | SURROUNDS[True]
    assert light.radiance.dtype == np.float32
    assert np.isfinite(light.radiance).all()
    assert light.radiance.min() >= 0
    front = sky.irradiance(light.radiance, (0, -0.8, 0.6))
    assert 0.3 < front[1] < 1.1


@pytest.mark.parametrize("family", ["sun", "shade", "overcast"])
def test_a_blue_sky_never_makes_what_the_camera_sees_teal(family: str):
    """Teal is blue and green well over red: what falls on the front stays near neutral."""
    for seed in range(5):
        light = draw_light(np.random.default_rng(seed), family)
        seen = sum(
            sky.irradiance(light.radiance, normal)
            for normal in ((0, -1, 0), (0, -0.7, 0.7), (0.7, -0.7, 0), (-0.7, -0.7, 0))
        )
        assert seen[0] > 0.78 * seen[1]
        assert seen[2] < 1.25 * seen[1]


def test_the_same_stream_gives_the_same_light():
    first, second = (draw_light(np.random.default_rng(5)) for _ in range(2))
    assert first.family == second.family
    assert np.array_equal(first.radiance, second.radiance)
