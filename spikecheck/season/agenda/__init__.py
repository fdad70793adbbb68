"""What to do next with every open spike, and when."""

from spikecheck.season.agenda.grouping import TaskGroup, grouped, spike_list
from spikecheck.season.agenda.making import agenda
from spikecheck.season.agenda.tasks import Task, TaskKind, TaskState

__all__ = [
    "Task", "TaskGroup", "TaskKind", "TaskState", "agenda", "grouped", "spike_list",
]  # fmt: skip
