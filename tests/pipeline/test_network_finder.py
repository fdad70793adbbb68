"""The whole way through both networks: painted pictures, networks that know colours only."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from spikecheck.networks import FLORETS, OVERVIEW, load_network
from spikecheck.pipeline.network_finder import NetworkFinder
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Photo
from tests.networks.colour_networks import save_florets, save_overview

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


def finder(folder, angle_deg: float = 0.0, *, calibration=None, **overview) -> NetworkFinder:
    turn = np.radians(angle_deg)
    settings = {
        "px_per_mm_in_square": PX_PER_MM * 512 / ROWS,
        "tip": (-float(np.cos(turn)), float(np.sin(turn))),
        **overview,
    }
    save_overview(folder, **settings)
    save_florets(folder)
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
