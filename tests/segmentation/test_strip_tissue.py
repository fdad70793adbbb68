"""Which part of the spike was not read, and which has something over it."""

from __future__ import annotations

import numpy as np
import pytest

from spikecheck.networks import FloretMap
from spikecheck.segmentation.floret_maps import StripFloret
from spikecheck.segmentation.strip_tissue import covered_share, unexplained_share
from tests.builders import floret
from tests.networks.strips import CELLS, MIDDLE, ROWS, THRESHOLDS, empty_maps, strip

LENGTH_PX = ROWS - 1 - 2 * 100  # 5 mm beyond either end
BACKGROUND, SPIKE, OVER = 0, 1, 2


def paint(maps: np.ndarray, kind: int, rows: slice, *, width_mm: float) -> None:
    """Fill rows, px of the strip, with a kind of tissue as wide as told round the axis."""
    columns = np.abs(np.arange(CELLS[1]) * 4 + 1.5 - MIDDLE) <= 10 * width_mm
    part = maps[FloretMap.TISSUE : FloretMap.TISSUE + 3, rows.start // 4 : rows.stop // 4]
    part[:, :, columns] = -8
    part[kind][:, columns] = 8


def spike_maps(width_mm: float = 11.0) -> np.ndarray:
    maps = empty_maps()
    paint(maps, SPIKE, slice(100, ROWS - 100), width_mm=width_mm)
    return maps


def at_rows(rows, *, clipped: bool = True) -> list[StripFloret]:
    """Florets of 3 x 2 mm on the axis."""
    told = floret("L1", clipped=clipped)
    return [StripFloret(told, (row - 30, MIDDLE - 20, row + 30, MIDDLE + 20)) for row in rows]


def unexplained(maps, florets) -> float:
    return unexplained_share(maps, strip(), florets, thresholds=THRESHOLDS)


def test_a_spike_with_florets_all_along_is_explained():
    rows = np.arange(140.0, ROWS - 100, 90).tolist()
    assert unexplained(spike_maps(), at_rows(rows)) == 0


def test_a_spike_without_florets_is_not():
    assert unexplained(spike_maps(), []) == 1
    assert unexplained(empty_maps(), []) == 0


def test_the_part_beyond_reach_of_any_floret_is_unexplained():
    rows = [row for row in np.arange(140.0, ROWS - 100, 90).tolist() if not 500 < row < 900]
    lower = max(row for row in rows if row <= 500)
    upper = min(row for row in rows if row >= 900)
    gap = upper - lower - 2 * THRESHOLDS.explained_reach_mm * 20
    share = unexplained(spike_maps(), at_rows(rows))
    assert share == pytest.approx(gap / LENGTH_PX, abs=0.006)


def test_bare_rachis_needs_no_florets():
    maps = spike_maps()
    maps[FloretMap.TISSUE : FloretMap.TISSUE + 3] = empty_maps()[:3]
    paint(maps, SPIKE, slice(100, ROWS - 100), width_mm=2.5)
    assert unexplained(maps, at_rows([600.0])) == 0


def test_uncut_tissue_is_explained_by_an_uncut_floret_only():
    rows = np.arange(140.0, ROWS - 100, 90).tolist()
    maps = spike_maps()
    middle = slice(round((MIDDLE - 20) / 4), round((MIDDLE + 20) / 4))  # 2 mm
    maps[FloretMap.UNCUT, 600 // 4 : 720 // 4, middle] = 8
    share = unexplained(maps, at_rows(rows))
    assert share == pytest.approx(120 / LENGTH_PX, abs=0.006)
    closed = at_rows([630.0, 690.0], clipped=False)
    assert unexplained(maps, [*at_rows(rows), *closed]) == 0
    maps[FloretMap.UNCUT, :, middle] = -8
    maps[FloretMap.UNCUT, 600 // 4 : 720 // 4, middle.start : middle.start + 6] = 8  # 1.2 mm
    assert unexplained(maps, at_rows(rows)) == 0


def test_what_lies_over_the_middle_counts_and_what_lies_beside_does_not():
    maps = spike_maps()
    paint(maps, OVER, slice(400, 600), width_mm=14.0)
    share = covered_share(maps, strip(), thresholds=THRESHOLDS)
    assert share == pytest.approx(200 / LENGTH_PX, abs=0.006)
    beside = spike_maps()
    beside[FloretMap.TISSUE : FloretMap.TISSUE + 3, :, :30] = np.array([-8, -8, 8])[:, None, None]
    assert covered_share(beside, strip(), thresholds=THRESHOLDS) == 0
