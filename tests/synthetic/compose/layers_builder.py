"""Small made-up layers whose truth is known by construction: ellipses on a stem."""

from __future__ import annotations

import cv2
import numpy as np

from spikecheck.synthetic.solid.layers import LayerAnther, LayerFloret, LayerRecord, Layers
from spikecheck.synthetic.solid.part import Organ, OrganKind
from spikecheck.vocabulary import AntherStage, Box, Point, Side

PX_PER_MM = 20.0
HEIGHT, WIDTH, MIDDLE = 900, 320, 160
STAGES = (AntherStage.GREEN, AntherStage.YELLOW, AntherStage.DEHISCED)
_FLORETS = 6


def make_layers(seed=1, *, state="prepared", anthers=3, cavity=0.9, clipped=True):
    """Return layers of a spike of six florets, the first ``anthers`` of them with an anther."""
    organ = np.zeros((HEIGHT, WIDTH), np.uint16)
    organs = [Organ(1, OrganKind.RACHIS), Organ(2, OrganKind.PEDUNCLE)]
    organ[120:780, MIDDLE - 12 : MIDDLE + 12] = 1
    organ[780:, MIDDLE - 10 : MIDDLE + 10] = 2
    florets, left = [], []
    for k in range(_FLORETS):
        row, side = 730 - k * 110, (Side.LEFT, Side.RIGHT)[k % 2]
        column = MIDDLE + (-62 if side is Side.LEFT else 62)
        lemma, palea, anther = 10 + 3 * k, 11 + 3 * k, 12 + 3 * k
        organs += [Organ(lemma, OrganKind.LEMMA, f"{k}"), Organ(palea, OrganKind.PALEA, f"{k}")]
        hull = ellipse(organ, (column, row), (46, 74), lemma)
        rim = cv2.ellipse2Poly((column, row - 20), (26, 40), 0, 0, 360, 12)
        cv2.fillPoly(organ, [rim], palea)
        own, name = [lemma, palea], f"{side.letter}{k // 2 + 1}"
        if k < anthers:
            stage = STAGES[k % 3]
            organs.append(Organ(anther, OrganKind.ANTHER, f"{k}", stage, length_mm=2.5))
            count = ellipse(organ, (column, row - 20), (9, 26), anther)
            own.append(anther)
            left.append(LayerAnther(
                anther, name, stage, near_anthesis=stage is not AntherStage.GREEN, broken=False,
                length_mm=2.5, visible_px=count, whole_px=count, centre=Point(row - 20, column),
                box=Box(row - 46, column - 9, row + 7, column + 10),
            ))  # fmt: skip
        assert hull > 0
        florets.append(LayerFloret(
            name, Point(row - 20, column), Box(row - 74, column - 46, row + 75, column + 47), side,
            (k + 0.5) / _FLORETS, clipped=clipped, cavity_visible=cavity if clipped else 0.0,
            opening=tuple(Point(float(y), float(x)) for x, y in rim) if clipped else (),
            organs=tuple(own),
        ))  # fmt: skip
    colour = np.random.default_rng(seed).uniform(0.1, 0.35, (64, 3)).astype(np.float32)
    alpha = np.where(organ > 0, 255, 0).astype(np.uint8)
    radiance = (colour[organ % 64] * (alpha > 0)[..., None]).astype(np.float16)
    record = LayerRecord(
        seed=seed, state=state, px_per_mm=PX_PER_MM,
        families={"plant": "awnless_green", "pose": "none", "light": "sun", "surround": "bench",
                  "prop": "none"},
        axis=(Point(780, MIDDLE), Point(450, MIDDLE), Point(120, MIDDLE)),
        organs=tuple(organs), florets=tuple(florets), anthers=tuple(left),
    )  # fmt: skip
    depth = np.where(organ > 2, 3.0, 0.0).astype(np.float16)
    return Layers(radiance, alpha, organ, depth, record)


def ellipse(organ, centre, half, code):
    """Draw an ellipse of ``code``; return how many pixels it took."""
    mask = np.zeros(organ.shape, np.uint8)
    cv2.ellipse(mask, centre, half, 0, 0, 360, 1, -1)
    organ[mask > 0] = code
    return int(mask.sum())
