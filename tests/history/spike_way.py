"""A spike's way in an invented programme, for tests that need one."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from spikecheck.vocabulary import SpikeRecord, Step, Verdict
from spikecheck.vocabulary.steps import (
    Bagged,
    Checked,
    Emasculated,
    Harvested,
    KeptAsControl,
    Pollinated,
    Rebagged,
    SeedTested,
    Selected,
    Tagged,
    Threshed,
)

START = datetime(2026, 5, 4, 7, 0, tzinfo=UTC)
SPIKE = SpikeRecord("C-1", 3, "wheat", "Ferra", "Olmo")


def checked(verdict: Verdict = Verdict.PASS, number: int = 1, *, near: bool = False) -> Checked:
    return Checked(number, verdict, near, "a" * 64, ("b" * 64,), ("c" * 64,))


WAY = (
    Selected(55),
    Tagged("K7Q29XMT"),
    Emasculated(20, 60, "clip"),
    checked(),
    Bagged(),
    Pollinated("Olmo"),
    Rebagged(),
    Harvested(),
    Threshed(12, 20),
    SeedTested(8, 0),
)
CONTROL_WAY = (
    Emasculated(20, 60),
    checked(),
    KeptAsControl(),
    Bagged(),
    Harvested(),
    Threshed(0, 20),
)


def at(hours: float) -> datetime:
    return START + timedelta(hours=hours)


def step(detail: object, hours: float = 0.0, by: str = "Ida") -> Step:
    return Step(detail, at=at(hours), by=by)  # type: ignore[arg-type]


def steps(details: tuple[object, ...] = WAY) -> tuple[Step, ...]:
    return tuple(step(detail, hours) for hours, detail in enumerate(details))
