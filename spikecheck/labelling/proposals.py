"""Turns what the check found in a photo into proposals that a person answers one by one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from spikecheck.labelling.florets import floret_at
from spikecheck.labelling.state import Proposal
from spikecheck.vocabulary import TrueAnther, TrueFloret

if TYPE_CHECKING:
    from spikecheck.vocabulary import Anther, Findings, Floret, PhotoTruth


def propose(findings: Findings, truth: PhotoTruth, *, score_least: float) -> tuple[Proposal, ...]:
    """Return what the check found and nobody has marked yet, anthers first.

    Parameters
    ----------
    findings
        Of the photo.
    truth
        The marks so far: what lies at a mark is not proposed again.
    score_least
        Anthers scored below this are left out, 0..1.
    """
    marks: list[tuple[TrueAnther | TrueFloret, float | None]] = [
        (_anther(anther), anther.score)
        for anther in findings.anthers
        if anther.score >= score_least and not _is_marked(anther, truth)
    ]
    marks += [
        (_floret(floret), None)
        for floret in findings.florets
        if floret_at(floret.centre, truth.florets or ()) is None
    ]
    return tuple(Proposal(number, *mark) for number, mark in enumerate(marks, start=1))


def _is_marked(anther: Anther, truth: PhotoTruth) -> bool:
    reach_px = max(anther.box.bottom - anther.box.top, anther.box.right - anther.box.left)
    return any(
        np.hypot(mark.centre.row - anther.centre.row, mark.centre.column - anther.centre.column)
        <= reach_px
        for mark in truth.anthers
    )


def _anther(anther: Anther) -> TrueAnther:
    return TrueAnther(anther.centre, box=anther.box, floret=anther.floret, stage=anther.stage)


def _floret(floret: Floret) -> TrueFloret:
    return TrueFloret(
        floret.id, floret.centre, floret.box, floret.side, floret.position, floret.clipped,
        floret.cavity_seen,
    )  # fmt: skip
