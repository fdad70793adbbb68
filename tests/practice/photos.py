"""Photos for practice and answers to them, for tests."""

from __future__ import annotations

from spikecheck.practice import Answer, Item, LeftoverAnther, Mark
from spikecheck.thresholds.practice import load_practice
from spikecheck.vocabulary import AntherStage, Point, Side, Verdict

NUMBERS = load_practice()
PX_PER_MM = 20.0
GREEN, YELLOW = AntherStage.GREEN, AntherStage.YELLOW
PASS, REVIEW = Verdict.PASS, Verdict.REVIEW


def leftover(row=100.0, column=100.0, *, stage=YELLOW, area_mm2=0.5, position=0.5):
    """A leftover anther at a place, px."""
    return LeftoverAnther(Point(row, column), stage, area_mm2, position, Side.LEFT)


def photo(name, *leftovers):
    """A photo of 20 px/mm."""
    return Item(name, PX_PER_MM, leftovers)


def answer(item, *places, verdict=None, seconds=12.0):
    """An answer with marks at places (row, column); review where there is one."""
    says = verdict or (REVIEW if places else PASS)
    return Answer(item, tuple(Mark(*place) for place in places), says, seconds)


def found(name, **traits):
    """An answer that marks the one leftover there is."""
    return answer(photo(name, leftover(**traits)), (100, 100))


def overlooked(name, **traits):
    """An answer that passes a spike with one leftover."""
    return answer(photo(name, leftover(**traits)))


def clean(name, *, verdict=PASS):
    """An answer to a clean spike."""
    return answer(photo(name), verdict=verdict)
