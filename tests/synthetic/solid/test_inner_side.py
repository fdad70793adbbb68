"""The inner side of hulls: paler, less saturated, turned towards the anthers."""

from __future__ import annotations

import numpy as np
import pytest

from spikecheck.synthetic.solid.colour_pass import inner_colours
from spikecheck.synthetic.solid.order import draw_order
from spikecheck.synthetic.solid.part import OrganKind
from spikecheck.synthetic.solid.plant import draw_plant


def test_the_inner_side_of_a_dark_green_hull_is_paler() -> None:
    outer = np.array([[0.15, 0.25, 0.06], [0.3, 0.4, 0.12]], np.float32)
    inner = inner_colours(outer)
    assert (inner > outer).all()
    assert (np.ptp(inner / inner.max(1, keepdims=True), axis=1)
            < np.ptp(outer / outer.max(1, keepdims=True), axis=1)).all()  # fmt: skip


@pytest.mark.parametrize("kind", [OrganKind.LEMMA, OrganKind.PALEA, OrganKind.GLUME])
def test_the_outer_side_of_hulls_looks_out_of_the_floret(kind: OrganKind) -> None:
    plant = draw_plant(draw_order(7, state="prepared"), np.random.default_rng(7))
    kinds = {organ.index: organ.kind for organ in plant.organs}
    outward = 0
    sheets = [p for p in plant.parts if kinds[p.organ] is kind and len(p.vertices) > 200]
    for part in sheets:
        a, b, c = (part.vertices[part.faces[:, k]] for k in range(3))
        normal = np.cross(b - a, c - a)
        outward += int((normal * (a - part.vertices.mean(axis=0))).sum() > 0)
    assert len(sheets) > 5
    assert outward > 0.9 * len(sheets)
