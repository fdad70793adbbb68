"""Spikelets whose cut floret hides behind its neighbours are cut away."""

from dataclasses import replace

import numpy as np
import pytest

from spikecheck.synthetic.randomness import stream
from spikecheck.synthetic.solid.plant import draw_plant
from spikecheck.synthetic.solid.trimming import trimmed_for_view
from spikecheck.synthetic.solid.wish import PlantWish


@pytest.fixture(scope="module")
def plant():
    return draw_plant(PlantWish("prepared", 0, "awnless_green", "none"), stream("test", 3, "plant"))


def front_keys(plant):
    return [floret.key for floret in plant.florets if floret.facing == "front"]


def behind_a_screen(plant, key):
    """Return the plant with a lemma of another floret moved before the opening of ``key``."""
    hidden = next(floret for floret in plant.florets if floret.key == key)
    other = next(floret for floret in plant.florets if floret.key not in {key, key + 1, key - 1})
    part = next(part for part in plant.parts if part.organ in other.organs)
    middle = hidden.opening.mean(axis=0) - [0, 8, 0]
    size = np.ptp(part.vertices, axis=0).max()
    points = (part.vertices - part.vertices.mean(axis=0)) / size * 14 * [1, 0.1, 1] + middle
    parts = [replace(one, vertices=points.astype(np.float32)) if one is part else one
             for one in plant.parts]  # fmt: skip
    return replace(plant, parts=tuple(parts))


def test_a_hidden_floret_goes_with_its_spikelet_and_all_its_parts(plant):
    kept = front_keys(trimmed_for_view(plant))
    key = kept[len(kept) // 2]
    trimmed = trimmed_for_view(behind_a_screen(plant, key))
    assert key not in front_keys(trimmed)
    assert not any(organ.floret == str(key) for organ in trimmed.organs)
    assert {part.organ for part in trimmed.parts} <= {organ.index for organ in trimmed.organs}


def test_what_is_trimmed_once_needs_no_trimming(plant):
    once = trimmed_for_view(plant)
    assert front_keys(trimmed_for_view(once)) == front_keys(once)


def test_nine_front_florets_are_kept_at_least(plant):
    keys = front_keys(plant)
    screened = plant
    for key in keys:
        screened = behind_a_screen(screened, key)
    assert len(front_keys(trimmed_for_view(screened))) >= 9
