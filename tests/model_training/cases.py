"""Looked-at photos to order, with scores drawn from a known world."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from spikecheck.model_training.looked_at_set import Case
from spikecheck.vocabulary import PhotoTruth, QualityProblem, TrueAnther, TrueFloret, Verdict
from tests.builders import anther, findings, floret, quality

IDS = [f"{side}{number}" for side in "LR" for number in range(1, 6)]


def sigmoid(logit: float) -> float:
    return float(1 / (1 + np.exp(-logit)))


def looked_at(
    name: str,
    logits: dict[str, float],
    *,
    holding: dict[str, float] | None = None,
    marks: dict[str, float] | None = None,
    hidden: str | None = None,
    problems: tuple[QualityProblem, ...] = (),
) -> Case:
    """A photo of ten florets.

    ``logits`` are the florets' raw ones, ``marks`` those of a mark by its floret, ``holding`` the
    visible area of an anther by its floret; into ``hidden`` the network cannot look.
    """
    seen = [
        replace(floret(one), p_anther=sigmoid(logits[one]),
                cavity_seen=0.1 if one == hidden else 1.0)
        for one in IDS
    ]  # fmt: skip
    there = tuple(
        TrueFloret(one.id, one.centre, one.box, one.side, one.position, one.clipped, 1.0)
        for one in seen
    )
    found = findings(
        seen, [anther(one, score=sigmoid(logit)) for one, logit in (marks or {}).items()]
    )
    truth = PhotoTruth(
        name, 400, 1000,
        tuple(
            TrueAnther(floret(one).centre, floret=one, visible_area_mm2=area)
            for one, area in (holding or {}).items()
        ),
        florets=there, verdict=Verdict.REVIEW if holding or problems else Verdict.PASS,
        problems=problems, px_per_mm=10.0,
    )  # fmt: skip
    return Case(name, truth, found, quality(*problems))


def world(seed: int, spikes: int, *, stretch: float = 1.0, share: float = 0.5) -> list[Case]:
    """Photos of spikes, a share of them with one anther; logits are the true ones stretched.

    In truth an anther shows in a floret with log-odds ``logit / stretch``, because the logits of
    florets with and without one are normal with the same spread.
    """
    rng = np.random.default_rng(seed)
    cases = []
    for number in range(spikes):
        holds = "L3" if rng.random() < share else None
        logits = {
            one: stretch * float(rng.normal(4 if one == holds else -4, np.sqrt(8))) for one in IDS
        }
        marks = {"L3": stretch * float(rng.normal(3, 2))} if holds else {}
        if rng.random() < 0.2:
            marks["R2"] = stretch * float(rng.normal(-3, 2))
        cases.append(
            looked_at(f"s{number:07d}-0.jpg", logits, marks=marks,
                      holding={holds: 1.0} if holds else None)
        )  # fmt: skip
    return cases
