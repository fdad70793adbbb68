"""People learn to see leftovers: what is shown, how it is scored, when they are signed off."""

from spikecheck.practice.answers import Answer, Item, LeftoverAnther, Mark, MarkedAnswer, compare

__all__ = [
    "Answer",
    "Item",
    "LeftoverAnther",
    "Mark",
    "MarkedAnswer",
    "compare",
]
