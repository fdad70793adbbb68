"""A user's own numbers in place of the shipped ones."""

from __future__ import annotations

import dataclasses
import math
from typing import TYPE_CHECKING

from spikecheck.errors import ThresholdError, UsageError
from spikecheck.thresholds.season.loading import built

if TYPE_CHECKING:
    from collections.abc import Mapping

    from spikecheck.thresholds.season.numbers import SeasonNumbers


def changed_numbers(numbers: SeasonNumbers, changes: Mapping[str, float]) -> SeasonNumbers:
    """Return ``numbers`` with values that a user sets now, as :func:`numbers_with` does.

    Raises
    ------
    UsageError
        As there, and if a part is given of what is counted. Older records may hold such a value;
        they are read as they are.
    """
    changed = numbers_with(numbers, changes)
    for entry in changed.entries:
        if entry.name in changes and entry.counted and entry.value % 1:
            raise UsageError(
                f"{entry.name} {entry.value:g} cannot be", where=numbers.crop,
                cure=f"Give a whole number, {entry.least:g} to {entry.most:g} {entry.unit}",
            )  # fmt: skip
    return changed


def numbers_with(numbers: SeasonNumbers, changes: Mapping[str, float]) -> SeasonNumbers:
    """Return ``numbers`` with the user's own values; a shipped value set again is no change.

    Parameters
    ----------
    numbers
        Of one crop, shipped or changed already.
    changes
        New value by name of the number.

    Raises
    ------
    UsageError
        If there is no such number, a value is outside of what may be set, or two numbers then
        contradict each other.
    """
    known = {entry.name: entry for entry in numbers.entries}
    for name, value in changes.items():
        if name not in known:
            raise UsageError(
                f"there is no number {name!r}", where=numbers.crop,
                cure=f"Choose one of {', '.join(known)}",
            )  # fmt: skip
        entry = known[name]
        if not (math.isfinite(value) and entry.least <= value <= entry.most):
            raise UsageError(
                f"{name} {value:g} cannot be", where=numbers.crop,
                cure=f"Give {entry.least:g} to {entry.most:g} {entry.unit}",
            )  # fmt: skip
        known[name] = dataclasses.replace(entry, value=value)
    try:
        return built(numbers.crop, tuple(known.values()))
    except ThresholdError as error:
        raise UsageError(error.what, where=error.where, cure=error.cure) from error
