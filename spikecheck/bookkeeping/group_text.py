"""What a group of tasks says, each sentence once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from spikecheck.language import ngettext
from spikecheck.season.agenda import spike_list

if TYPE_CHECKING:
    from spikecheck.season.agenda import TaskGroup

_END = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class GroupText:
    """The words of a group.

    Parameters
    ----------
    sentences
        What to do and when, the most pressing first; each begins with the spikes it is about
        where they are not all of the group.
    remarks
        What to know of the temperatures behind it; a sentence or two each, may be empty.
    """

    sentences: tuple[str, ...]
    remarks: tuple[str, ...]


def group_text(group: TaskGroup) -> GroupText:
    """Return what a group of tasks says."""
    pressing = sorted(group.tasks, key=lambda task: (task.last or _END, task.spike))
    spikes: dict[str, list[int]] = {}
    for task in pressing:
        spikes.setdefault(replace(task, remark="").sentence, []).append(task.spike)
    several = len(spikes) > 1
    return GroupText(
        tuple(
            f"{_named(numbers)}: {sentence}" if several else sentence
            for sentence, numbers in spikes.items()
        ),
        tuple(dict.fromkeys(task.remark for task in pressing if task.remark)),
    )


def _named(numbers: list[int]) -> str:
    count = len(numbers)
    return ngettext("Spike {numbers}", "Spikes {numbers}", count).format(
        numbers=spike_list(numbers)
    )
