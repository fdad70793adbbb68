"""The whole way through both networks: painted pictures, networks that know colours only."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from spikecheck.errors import ModelError
from spikecheck.networks import FLORETS, OVERVIEW, load_network
from spikecheck.pipeline.network_finder import NetworkFinder
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Calibration, Photo, Side
from tests.networks.colour_networks import CALIBRATION, FLORETS_TUNED, save_florets, save_overview

THRESHOLDS = load_thresholds()
PX_PER_MM = 16.0
ROWS, COLUMNS = 1600, 1200
LENGTH_MM, WIDTH_MM = 70.0, 11.0
# (mm from the base along the axis, mm to the right of it looking from base to tip)
FLORETS_AT = [(8.0 + 4.5 * i, 3.0 if i % 2 else -3.0) for i in range(13)]
ANTHERS_AT = [(17.2, -3.3), (40.0, 11.0)]


class Painting:
    """A spike painted at an angle; 0 is tip up, turning clockwise."""

    def __init__(self, angle_deg: float, *, rows: int = ROWS, columns: int = COLUMNS) -> None:
        turn = np.radians(angle_deg)
        self.tip = np.array([-np.cos(turn), np.sin(turn)])
        self.right = np.array([np.sin(turn), np.cos(turn)])
        self.middle = np.array([rows / 2, columns / 2])
        self.pixels = np.zeros((rows, columns, 3), np.uint8)
        corners = [
            self.place(along, across)
            for along, across in (
                (0, -WIDTH_MM / 2),
                (0, WIDTH_MM / 2),
                (LENGTH_MM, WIDTH_MM / 2),
                (LENGTH_MM, -WIDTH_MM / 2),
            )
        ]
        polygon = np.round(corners)[:, ::-1].astype(np.int32)
        cv2.fillPoly(self.pixels, [polygon], (0, 255, 0))

    def place(self, along_mm: float, across_mm: float) -> np.ndarray:
        along = along_mm - LENGTH_MM / 2
        return self.middle + PX_PER_MM * (along * self.tip + across_mm * self.right)

    def spot(self, at: tuple[float, float], channel: int, *, radius_mm: float = 1.0) -> None:
        row, column = self.place(*at)
        rows, columns = np.ogrid[: self.pixels.shape[0], : self.pixels.shape[1]]
        distance = ((rows - row) ** 2 + (columns - column) ** 2) / (radius_mm * PX_PER_MM) ** 2
        light = np.round(255 * np.exp(-0.5 * (2 * distance))).astype(np.uint8)
        self.pixels[..., channel] = np.maximum(self.pixels[..., channel], light)

    def photo(self) -> Photo:
        return Photo("painted.png", "0" * 64, self.pixels)


def painted(angle_deg: float = 0.0) -> Painting:
    painting = Painting(angle_deg)
    for at in FLORETS_AT:
        painting.spot(at, 0, radius_mm=0.8)
        if at[1] > 0:  # those on the right lose their green: the networks tell sides by it
            row, column = painting.place(*at)
            cv2.circle(painting.pixels, (round(column), round(row)), 10, (255, 0, 0), -1)
    for at in ANTHERS_AT:
        painting.spot(at, 2, radius_mm=0.6)
    return painting


def finder(folder, angle_deg=0.0, *, calibration=None, florets=None, **overview) -> NetworkFinder:
    turn = np.radians(angle_deg)
    settings = {
        "px_per_mm_in_square": PX_PER_MM * 512 / ROWS,
        "tip": (-float(np.cos(turn)), float(np.sin(turn))),
        **overview,
    }
    save_overview(folder, **settings)
    save_florets(folder, **(florets or {}))
    networks = (load_network(task, folder=folder) for task in (OVERVIEW, FLORETS))
    return NetworkFinder(THRESHOLDS, *networks, calibration)


@pytest.mark.parametrize("angle_deg", [0.0, 90.0, 145.0, 180.0, 270.0])
def test_what_was_painted_is_found_however_the_spike_is_held(tmp_path, angle_deg):
    painting = painted(angle_deg)
    found = finder(tmp_path, angle_deg).find(painting.photo())
    assert found.scale.px_per_mm == pytest.approx(PX_PER_MM, rel=0.01)
    assert found.scale.low < PX_PER_MM < found.scale.high
    base, tip = found.spike.axis[0], found.spike.axis[-1]
    assert np.hypot(*(base - painting.place(0, 0))) < 1.2 * PX_PER_MM
    assert np.hypot(*(tip - painting.place(LENGTH_MM, 0))) < 1.2 * PX_PER_MM
    assert not found.spike.cut_off
    assert found.spike.hidden_share == 0
    assert found.other_spikes == 0
    assert not found.unfamiliar
    places = np.array([[each.centre.row, each.centre.column] for each in found.florets])
    for at in FLORETS_AT:
        distance_mm = np.hypot(*(places - painting.place(*at)).T).min() / PX_PER_MM
        assert distance_mm < 0.7
    assert len(found.florets) == len(FLORETS_AT)
    assert len(found.anthers) == len(ANTHERS_AT)
    for at in ANTHERS_AT:
        near = [
            np.hypot(*(np.array([a.centre.row, a.centre.column]) - painting.place(*at)))
            for a in found.anthers
        ]
        assert min(near) / PX_PER_MM < 0.5


def test_sides_ids_and_probabilities_are_those_of_the_strip(tmp_path):
    painting = painted(145.0)
    found = finder(tmp_path, 145.0).find(painting.photo())
    lefts = [at for at in FLORETS_AT if at[1] < 0]
    assert [f.id for f in found.florets if f.side is Side.LEFT] == [
        f"L{n}" for n in range(1, len(lefts) + 1)
    ]
    for floret in found.florets:
        distance = [
            np.hypot(*(np.array([floret.centre.row, floret.centre.column]) - painting.place(*at)))
            for at in FLORETS_AT
        ]
        along, across = FLORETS_AT[int(np.argmin(distance))]
        assert floret.side is (Side.LEFT if across < 0 else Side.RIGHT)
        assert floret.position == pytest.approx(along / LENGTH_MM, abs=0.03)
        assert floret.clipped
    inside, outside = sorted(found.anthers, key=lambda a: a.floret is None)
    holder = next(floret for floret in found.florets if floret.id == inside.floret)
    assert outside.floret is None
    assert holder.p_anther == max(floret.p_anther for floret in found.florets) > 0.5
    assert sum(floret.p_anther > 0.5 for floret in found.florets) == 1
    assert all(0.9 < anther.score < 1 for anther in found.anthers)
    assert all(0.5 < anther.length_mm < 1.5 for anther in found.anthers)
    assert found.unexplained < 0.1


def test_the_same_photo_larger_is_read_the_same(tmp_path):
    small = painted().photo()
    large = Photo("large.png", "1" * 64, cv2.resize(small.pixels, None, fx=2.5, fy=2.5))
    look = finder(tmp_path)  # the overview sees both alike
    before, after = look.find(small), look.find(large)
    assert after.scale.px_per_mm == pytest.approx(2.5 * before.scale.px_per_mm, rel=1e-3)
    assert [f.id for f in after.florets] == [f.id for f in before.florets]
    for one, other in zip(before.florets, after.florets, strict=True):
        assert other.centre.row / 2.5 == pytest.approx(one.centre.row, abs=4)
        assert other.centre.column / 2.5 == pytest.approx(one.centre.column, abs=4)
    assert len(after.anthers) == len(before.anthers)


def test_identity_and_calibration_come_from_the_manifests(tmp_path):
    look = finder(tmp_path)
    found = look.find(painted().photo())
    assert found.model == look.model
    assert (look.model.name, look.model.version) == ("spike-and-florets", "1")
    assert len(look.model.sha256) == 64
    assert found.calibration.name == CALIBRATION["name"]
    assert found.calibration.pass_score_most == CALIBRATION["pass_score_most"]


def test_another_tuned_number_is_another_identity(tmp_path):
    one = finder(tmp_path / "one").model
    tuned = {**FLORETS_TUNED, "anther_least": 0.2}
    other = finder(tmp_path / "other", florets={"tuned": tuned}).model
    assert one.version == other.version
    assert one.sha256 != other.sha256


def test_versions_that_differ_are_both_named(tmp_path):
    assert finder(tmp_path, florets={"version": "2"}).model.version == "1+2"


def test_a_calibration_passed_in_is_reported(tmp_path):
    own = Calibration("own photos", 0.05, 120, 0, 0.01, 1 / 121, "c" * 64)
    assert finder(tmp_path, calibration=own).find(painted().photo()).calibration is own


@pytest.mark.parametrize("which", ["overview", "florets"])
def test_a_photo_strange_to_either_network_is_unfamiliar(tmp_path, which):
    strange = {"strangeness": 11.0}
    look = finder(
        tmp_path,
        **(strange if which == "overview" else {}),
        florets=strange if which == "florets" else None,
    )
    found = look.find(painted().photo())
    assert found.unfamiliar
    assert found.spike is not None


def test_without_a_spike_nothing_is_explained(tmp_path):
    look = finder(tmp_path, strangeness=11.0)
    blank = Photo("card.png", "0" * 64, np.zeros((300, 200, 3), np.uint8))
    found = look.find(blank)
    assert (found.spike, found.scale, found.florets, found.anthers) == (None, None, (), ())
    assert (found.other_spikes, found.unexplained) == (0, 1.0)
    assert found.unfamiliar
    assert found.calibration is not None


@pytest.mark.parametrize("px_per_mm", [4.0, 5.3])
def test_a_spike_too_small_or_too_long_to_be_one_has_no_florets(tmp_path, px_per_mm):
    """At 4 px/mm nothing shows; at 5.3 px/mm the painted 1120 px would be 211 mm."""
    look = finder(tmp_path, px_per_mm_in_square=px_per_mm * 512 / ROWS)
    found = look.find(painted().photo())
    assert found.spike is not None
    assert found.scale.px_per_mm == pytest.approx(px_per_mm, rel=0.01)
    assert found.florets == found.anthers == ()
    assert found.unexplained == 1.0


def test_a_manifest_that_lacks_a_number_is_told_at_once(tmp_path):
    tuned = {name: value for name, value in FLORETS_TUNED.items() if name != "clipped_least"}
    with pytest.raises(ModelError, match="clipped_least"):
        finder(tmp_path, florets={"tuned": tuned})


@pytest.mark.parametrize("shape", [(1, 1), (1, 700), (700, 1), (2, 3), (5, 900), (40, 40)])
@pytest.mark.parametrize("level", [(0, 0, 0), (0, 255, 0), (255, 255, 255), (255, 0, 255)])
def test_whatever_the_photo_there_is_an_answer(tmp_path, shape, level):
    pixels = np.empty((*shape, 3), np.uint8)
    pixels[:] = level
    found = finder(tmp_path).find(Photo("drawn.png", "0" * 64, pixels))
    assert 0 <= found.unexplained <= 1
