"""What a network should reach, and whether it does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.model_training.markdown import percent, plain, table

if TYPE_CHECKING:
    from collections.abc import Mapping

Score = tuple[str, str]  # group and name of a row of scores


@dataclass(frozen=True, slots=True)
class Goal:
    """One number to be reached.

    Parameters
    ----------
    score
        Group and name of the row of an evaluation.
    words
        What it is, for people.
    limit
        The number, a share 0..1 or a plain number.
    least
        Whether at least the limit is wanted; else at most.
    share
        Whether it is told in percent.
    """

    score: Score
    words: str
    limit: float
    least: bool
    share: bool = True

    def reached(self, value: float) -> bool:
        """Whether ``value`` reaches the goal."""
        return value >= self.limit if self.least else value <= self.limit

    def told(self, value: float | None) -> str:
        """Return a value as the goal tells it."""
        return percent(value) if self.share else plain(value)


GOALS = (
    Goal(
        ("anthers", "good photos: recall at 0.05 false a photo, 0.25 mm² or more visible"),
        "leftovers with 0.25 mm² or more in sight, found at 0.05 false marks a photo",
        0.98, least=True,
    ),
    Goal(
        ("anthers", "good photos: recall at 0.05 false a photo, 1 mm² or more visible"),
        "leftovers with 1 mm² or more in sight, found at 0.05 false marks a photo",
        0.99, least=True,
    ),
    Goal(
        ("verdict", "good photos: spikes with 0.25 mm² or more of an anther in sight that pass"),
        "spikes with a visible leftover that pass", 0.005, least=False,
    ),
    Goal(
        ("verdict", "clean spikes that pass"),
        "clean, well photographed spikes that pass", 0.95, least=True,
    ),
    Goal(
        ("florets", "good photos: can be looked into, F1"),
        "florets whose cavity is visible, F1", 0.98, least=True, share=False,
    ),
    Goal(
        ("florets", "good photos: can be looked into, count error without sign"),
        "their count error a photo", 0.3, least=False, share=False,
    ),
    Goal(
        ("anthers", "good photos: stage right, 0.25 mm² or more"), "stage right", 0.95, least=True
    ),
    Goal(
        ("verdict", "photos that cannot be judged sent to review"),
        "photos that cannot be judged, sent to review", 1.0, least=True,
    ),
    Goal(
        ("photo problems", "right one told of photos that cannot be judged"),
        "with the right problem", 0.95, least=True,
    ),
    Goal(
        ("scale", "relative error without sign, median"),
        "px/mm without a tag, median error", 0.12, least=False,
    ),
    Goal(("scale", "true scale within the bounds"), "its interval holds", 0.95, least=True),
)  # fmt: skip


def goal_table(values: Mapping[Score, float | None]) -> str:
    """Return goals, what was reached, and whether that is enough, as Markdown."""
    lines = []
    for goal in GOALS:
        value = values.get(goal.score)
        answer = "not measured"
        if value is not None:
            answer = "yes" if goal.reached(value) else "**no**"
        wanted = f"{'≥' if goal.least else '≤'} {goal.told(goal.limit)}"
        lines.append((goal.words, wanted, goal.told(value), answer))
    return table(("what", "target", "measured", "reached"), lines)
