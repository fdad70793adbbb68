"""Lays the sources of one place over each other; the later recorded ones hold."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.season.course import Stretch

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime, timedelta


def laid_over(layers: Sequence[Sequence[Stretch]]) -> list[Stretch]:
    """Return what holds, in order: of each moment the stretch of the last layer that knows it."""
    every = [one for layer in layers for one in layer]
    bounds = sorted({one.start for one in every} | {one.end for one in every})
    index = {moment: k for k, moment in enumerate(bounds)}
    owner = np.full(len(bounds), -1)
    for number, one in enumerate(every):
        owner[index[one.start] : index[one.end]] = number
    found: list[Stretch] = []
    # Neighbouring parts of one stretch stay one; a change of owner, or none, ends it.
    changes = [0, *(np.flatnonzero(np.diff(owner)) + 1).tolist(), len(bounds)]
    for first, last in pairwise(changes):
        if first < last and owner[first] >= 0:
            found.append(_part(every[owner[first]], bounds[first], bounds[last]))
    return found


def runs_of(stretches: Sequence[Stretch], *, gap_most: timedelta) -> list[list[Stretch]]:
    """Return the stretches between gaps, each run without holes.

    A hole up to ``gap_most`` is bridged by the mean of its neighbours; a longer one is a gap.
    """
    runs: list[list[Stretch]] = []
    for one in stretches:
        run = runs[-1] if runs else []
        if run and one.start > run[-1].end:
            before = run[-1]
            hole = one.start - before.end
            if hole > gap_most:
                runs.append([one])
                continue
            days = before.days * (hole / (before.end - before.start))
            run.append(Stretch(before.end, one.start, (before.air_c + one.air_c) / 2, days))
        run.append(one)
        if not runs:
            runs.append(run)
    return runs


def _part(one: Stretch, start: datetime, end: datetime) -> Stretch:
    if (start, end) == (one.start, one.end):
        return one
    return Stretch(start, end, one.air_c, one.days * ((end - start) / (one.end - one.start)))
