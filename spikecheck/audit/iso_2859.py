"""Reference plans of ISO 2859-1: code letter by lot size, sample size, acceptance numbers.

For those who must name a standard. The standard means a long series of lots; for one session
:func:`spikecheck.audit.sampling.smallest_plan` says what its plan is worth.

Single sampling, normal inspection. Code letters (Table 1) and sample sizes are as read from a
chart of the standard; acceptance numbers and the way of the arrows (Table 2-A) are from memory.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from typing import Literal

from spikecheck.errors import UsageError

InspectionLevel = Literal["S-1", "S-2", "S-3", "S-4", "I", "II", "III"]
_LOT_MOST = (
    8, 15, 25, 50, 90, 150, 280, 500, 1_200, 3_200, 10_000, 35_000, 150_000, 500_000,
)  # fmt: skip
# One letter for each row of Table 1, the last for lots over 500,000.
_LETTERS: dict[InspectionLevel, str] = {
    "S-1": "AAAABBBBCCCCDDD",
    "S-2": "AAABBBCCCDDDEEE",
    "S-3": "AABBCCDDEEFFGGH",
    "S-4": "AABCCDEEFGGHJJK",
    "I": "AABCCDEFGHJKLMN",
    "II": "ABCDEFGHJKLMNPQ",
    "III": "BCDEFGHJKLMNPQR",
}
SAMPLE_SIZES = {
    "A": 2, "B": 3, "C": 5, "D": 8, "E": 13, "F": 20, "G": 32, "H": 50, "J": 80, "K": 125,
    "L": 200, "M": 315, "N": 500, "P": 800, "Q": 1_250, "R": 2_000,
}  # fmt: skip
_ORDER = "".join(SAMPLE_SIZES)
# Acceptance quality limits, percent of bad items.
LIMITS = (0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10.0)
# Table 2-A is a staircase: one letter down and one limit to the left have the same entry. From
# the step that accepts with 0 it goes: 0, arrow up, arrow down, 1, 2, 3, 5, …
_STEPS = (0, None, None, 1, 2, 3, 5, 7, 10, 14, 21)
_UP_STEP = 1
_ZERO_AT = _ORDER.index("H")  # row of the 0 in the first column, 0.25
_LAST_LETTER = "K"


@dataclass(frozen=True, slots=True)
class ReferencePlan:
    """A plan as the standard gives it.

    Parameters
    ----------
    code_letter
        That the lot size asks for.
    used_letter
        Where the arrows lead; the sample size is this one's.
    sample
        Spikes to look at, no more than the lot has.
    accept, reject
        The lot passes with ``accept`` bad ones or fewer and fails with ``reject`` or more.
    whole_lot
        Whether the sample is the whole lot, as the standard asks where it is no smaller.
    """

    code_letter: str
    used_letter: str
    sample: int
    accept: int
    reject: int
    whole_lot: bool


def code_letter(lot: int, level: InspectionLevel = "II") -> str:
    """Return the sample size code letter of Table 1 for a lot of 2 items or more.

    Raises
    ------
    UsageError
        If the lot is smaller, or there is no such level.
    """
    fewest = 2
    if lot < fewest:
        raise UsageError(f"Table 1 of ISO 2859-1 begins with lots of 2, got {lot}")
    if level not in _LETTERS:
        raise UsageError(
            f"there is no inspection level {level!r}", cure=f"Choose one of {', '.join(_LETTERS)}"
        )
    return _LETTERS[level][bisect_left(_LOT_MOST, lot)]


def reference_plan(lot: int, limit: float, level: InspectionLevel = "II") -> ReferencePlan:
    """Return the single plan of normal inspection, arrows followed.

    Parameters
    ----------
    lot
        Spikes in the lot, 2 or more.
    limit
        Acceptance quality limit, percent: one of ``LIMITS``.
    level
        Inspection level; II unless there is a reason.

    Raises
    ------
    UsageError
        If there is no such limit or level, or the lot asks for a letter beyond K.
    """
    if limit not in LIMITS:
        raise UsageError(
            f"no acceptance quality limit of {limit:g} % here",
            cure=f"Choose one of {', '.join(f'{one:g}' for one in LIMITS)}",
        )
    asked = code_letter(lot, level)
    row, column = _ORDER.index(asked), LIMITS.index(limit)
    if row > _ORDER.index(_LAST_LETTER):
        raise UsageError(
            f"a lot of {lot} asks for code letter {asked}, known here are A to {_LAST_LETTER}",
            cure="Take each session as a lot of its own",
        )
    # Nothing stands above the first letter, so its arrow points down.
    if row + column - _ZERO_AT == _UP_STEP and row > 0:
        row -= 1
    while (accept := _entry(row, column)) is None:
        row += 1
    size = SAMPLE_SIZES[_ORDER[row]]
    sample = min(size, lot)
    return ReferencePlan(asked, _ORDER[row], sample, accept, accept + 1, whole_lot=size >= lot)


def _entry(row: int, column: int) -> int | None:
    """Return the acceptance number of Table 2-A, or None for an arrow."""
    step = row + column - _ZERO_AT
    return _STEPS[step] if step >= 0 else None
