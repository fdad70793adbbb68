"""Tiles: a long strip gives the same maps in tiles as whole, where the network looks no farther."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.networks import FLORETS, load_network, run_in_tiles
from spikecheck.networks.tiling import _tiles
from tests.networks.colour_networks import save_florets


@given(
    blocks=st.integers(1, 300), most=st.integers(4, 60), overlap=st.integers(1, 3)
)  # fmt: skip
def test_tiles_keep_every_row_once_and_share_enough(blocks, most, overlap):
    rows, most_rows, overlap_rows = 32 * blocks, 32 * most, 32 * overlap
    tiles = list(_tiles(rows, most_rows=most_rows, overlap_rows=overlap_rows))
    assert tiles[0][2] == 0
    assert tiles[-1][3] == rows
    for first, last, keep_from, keep_to in tiles:
        assert 0 <= first <= keep_from < keep_to <= last <= rows
        assert last - first == min(rows, most_rows)
        assert first % 32 == 0
        assert keep_from % 4 == keep_to % 4 == 0
    for before, after in pairwise(tiles):
        assert before[3] == after[2]
        # half of the overlap is context beyond what is kept, to a block
        assert min(before[1] - before[3], after[2] - after[0]) >= overlap_rows / 2 - 16


@pytest.mark.parametrize("rows", [64, 512, 544, 1600])
def test_in_tiles_as_whole(tmp_path, rows):
    save_florets(tmp_path, strangeness=4.0)
    network = load_network(FLORETS, folder=tmp_path)
    pixels = np.random.default_rng(rows).integers(0, 256, (rows, 64, 3), dtype=np.uint8)
    whole = run_in_tiles(network, pixels, most_rows=3200, overlap_rows=64)
    tiled = run_in_tiles(network, pixels, most_rows=512, overlap_rows=64)
    np.testing.assert_allclose(tiled["maps"], whole["maps"], rtol=1e-5, atol=1e-5)
    assert tiled["maps"].shape == (20, rows // 4, 16)
    assert tiled["strangeness"].max() == 4.0
