"""Spikes of one cross that wait for the same on the same day, told as one."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from spikecheck.language import ngettext
from spikecheck.season.agenda.tasks import Task, TaskKind, TaskState, to_do

if TYPE_CHECKING:
    from collections.abc import Iterable

_ORDER = {kind: k for k, kind in enumerate(TaskKind)}
_URGENCY = {state: k for k, state in enumerate(TaskState)}


@dataclass(frozen=True, slots=True)
class TaskGroup:
    """Tasks of one cross, kind, day and urgency.

    Parameters
    ----------
    kind, cross, day
        What they share; the day is local, None if it is not known.
    tasks
        In order of the spike, one or more.
    """

    kind: TaskKind
    cross: str
    day: date | None
    tasks: tuple[Task, ...]

    @property
    def spikes(self) -> tuple[int, ...]:
        """Numbers of the spikes, rising."""
        return tuple(task.spike for task in self.tasks)

    @property
    def state(self) -> TaskState:
        """How urgent they are, all alike."""
        return self.tasks[0].state

    @property
    def title(self) -> str:
        """Which spikes, such as ``C-014: spikes 1-4, 7`` (with a dash)."""
        told = ngettext("{cross}: spike {numbers}", "{cross}: spikes {numbers}", len(self.tasks))
        return told.format(cross=self.cross, numbers=spike_list(self.spikes))

    @property
    def to_do(self) -> str:
        """What to do, as the beginning of a sentence."""
        return to_do(self.kind, self.tasks[0].male)


def grouped(tasks: Iterable[Task]) -> tuple[TaskGroup, ...]:
    """Return tasks of one cross, kind, day and urgency together, by urgency, day, step, cross."""
    together: defaultdict[tuple[TaskKind, str, date | None, TaskState], list[Task]]
    together = defaultdict(list)
    for task in tasks:
        together[task.kind, task.cross, task.day, task.state].append(task)
    groups = [
        TaskGroup(kind, cross, day, tuple(sorted(several, key=lambda one: one.spike)))
        for (kind, cross, day, _), several in together.items()
    ]
    return tuple(
        sorted(
            groups,
            key=lambda one: (
                _URGENCY[one.state], one.day or date.max, _ORDER[one.kind], one.cross,
            ),
        )
    )  # fmt: skip


def spike_list(numbers: Iterable[int]) -> str:
    """Return numbers of spikes, rising, with runs drawn together by a dash, such as 1 to 4, 7."""
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(
        f"{first}" if first == last else f"{first}\N{EN DASH}{last}" for first, last in runs
    )
