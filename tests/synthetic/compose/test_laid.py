"""What a layer's border cuts: stems go on, awns end."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from spikecheck.synthetic.compose.laid import lay
from spikecheck.synthetic.compose.placing import Placement
from spikecheck.synthetic.solid.part import Organ, OrganKind
from tests.synthetic.compose.layers_builder import HEIGHT, MIDDLE, PX_PER_MM, WIDTH, make_layers

_AWN, _AWN_ROW, _BESIDE = 50, 300, 200


def _laid(kind):
    """Return a layer with something thin across its right border, laid with room all round."""
    layers = make_layers()
    where = np.s_[_AWN_ROW : _AWN_ROW + 6, MIDDLE + 60 :]
    organ, alpha, radiance = layers.organ.copy(), layers.alpha.copy(), layers.radiance.copy()
    organ[where], alpha[where], radiance[where] = _AWN, 255, 0.3
    record = replace(layers.record, organs=(*layers.record.organs, Organ(_AWN, kind)))
    layers = replace(layers, organ=organ, alpha=alpha, radiance=radiance, record=record)
    shape = (HEIGHT + 2 * _BESIDE, WIDTH + 2 * _BESIDE)
    matrix = np.array([[1.0, 0, _BESIDE], [0, 1.0, _BESIDE]])
    placement = Placement(matrix=matrix, shape=shape, stretch=1.0)
    return lay(np.random.default_rng(1), layers, placement)


def test_awns_end_before_the_border_and_do_not_go_on_beyond_it():
    laid = _laid(OrganKind.AWN)
    row = _BESIDE + _AWN_ROW + 3
    assert not laid.alpha[row, _BESIDE + WIDTH :].any()
    assert not (laid.owner[row, _BESIDE + WIDTH :]).any()
    assert laid.alpha[row, _BESIDE + WIDTH - round(3 * PX_PER_MM)] == 1


def test_stems_and_hands_go_on_beyond_the_border():
    laid = _laid(OrganKind.HAND)
    assert laid.alpha[_BESIDE + _AWN_ROW + 3, -1] == 1
    assert laid.owner[-1, _BESIDE + MIDDLE] == 2
