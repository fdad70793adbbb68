"""Reading pedigrees in Purdy notation.

References
----------
Purdy LH, Loegering WQ, Konzak CF, Peterson CJ, Allan RE (1968). A proposed standard method for
illustrating pedigrees of small grain varieties. Crop Science 8:405-406.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from spikecheck.errors import PedigreeError
from spikecheck.vocabulary.pedigree import (
    LONGEST_LEVEL_DIGITS,
    MOST_USES,
    Backcross,
    Line,
    PedigreeCross,
    mark,
)

if TYPE_CHECKING:
    from spikecheck.vocabulary.pedigree import Pedigree

# A longer text is no pedigree but something pasted by mistake.
LONGEST_PEDIGREE = 10_000

_MARK = re.compile(rf"/[0-9]{{1,{LONGEST_LEVEL_DIGITS}}}/|/+")
_COUNT_AFTER = re.compile(r"(?P<name>[^*]+)\*(?P<count>[^*]*)")
_COUNT_BEFORE = re.compile(r"(?P<count>[0-9]+)\s*\*(?P<name>[^*]+)")
_COUNT = re.compile(r"[0-9]{1,4}")


class _Mark(NamedTuple):
    level: int
    text: str
    column: int


class _Operand(NamedTuple):
    node: Pedigree
    uses: int
    column: int


def parse_pedigree(text: str) -> Pedigree:
    """Return the pedigree that ``text`` writes.

    Parameters
    ----------
    text
        Female left, male right; "/" is the first cross, "//" the second, then "/3/", "/4/" and so
        on: the highest number is the latest cross. "/2/" is read as "//" and "///" as "/3/". A
        recurrent parent carries the number of its uses: ``A/B*3`` or ``A*3/B``, in older lists
        ``A/3*B``. Levels only tell the order of crosses, so that one left out changes nothing;
        :func:`~spikecheck.vocabulary.pedigree.format_pedigree` writes them without gaps.

    Raises
    ------
    PedigreeError
        If a parent is missing, two crosses side by side have the same level, or a count cannot
        be; the message names the column, counted from 1.
    """
    if len(text) > LONGEST_PEDIGREE:
        raise PedigreeError(
            f"a pedigree has {LONGEST_PEDIGREE} characters at most, this has {len(text)}",
            cure="Name a parent in it that stands for its own pedigree",
        )
    marks = [_mark(found) for found in _MARK.finditer(text)]
    begins = [0, *(one.column - 1 + len(one.text) for one in marks)]
    ends = [*(one.column - 1 for one in marks), len(text)]
    operands = [_operand(text[begin:end], begin) for begin, end in zip(begins, ends, strict=True)]
    made = [operands[0]]
    open_marks: list[_Mark] = []
    for one, operand in zip(marks, operands[1:], strict=True):
        while open_marks and open_marks[-1].level < one.level:
            _join(made, open_marks.pop())
        if open_marks and open_marks[-1].level == one.level:
            raise PedigreeError(
                f"{one.text} comes a second time beside the one in column {open_marks[-1].column}, "
                "so that it is not clear which cross was first",
                where=_column(one.column),
                cure=f"Write {mark(one.level + 1)} for the later cross of the two",
            )
        open_marks.append(one)
        made.append(operand)
    while open_marks:
        _join(made, open_marks.pop())
    if made[0].uses > 1:
        raise PedigreeError(
            f"a count of {made[0].uses} stands beside a line that is crossed with nothing",
            where=_column(made[0].column), cure="Leave the count out, or add the other parent",
        )  # fmt: skip
    return made[0].node


def crossed(female: Pedigree | str, male: Pedigree | str) -> Pedigree:
    """Return the pedigree of the F1 of ``female`` by ``male``, each a pedigree, its text or a name.

    Raises
    ------
    PedigreeError
        If a text is no pedigree; the message says whose.
    """
    return PedigreeCross(_side(female, "female"), _side(male, "male"))


def _side(side: Pedigree | str, which: str) -> Pedigree:
    if not isinstance(side, str):
        return side
    try:
        return parse_pedigree(side)
    except PedigreeError as error:
        where = f"{which}, {error.where}" if error.where else which
        raise PedigreeError(error.what, where=where, cure=error.cure) from error


def _mark(found: re.Match[str]) -> _Mark:
    text, column = found.group(), found.start() + 1
    digits = text.strip("/")
    level = int(digits) if digits else len(text)
    if not level:
        raise PedigreeError(
            f"{text} is no cross", where=_column(column), cure="Levels begin at 1, written /"
        )
    return _Mark(level, text, column)


def _operand(piece: str, begin: int) -> _Operand:
    name = piece.strip()
    column = begin + 1 + (len(piece) - len(piece.lstrip()) if name else 0)
    if not name:
        raise PedigreeError(
            "a parent is missing", where=_column(column),
            cure="Write its name; put blanks around a name of digits, since /3/ is a level",
        )  # fmt: skip
    uses = 1
    if "*" in name:
        counted = _COUNT_BEFORE.fullmatch(name)
        after = _COUNT_AFTER.fullmatch(name)
        if after and (not counted or _COUNT.fullmatch(after["count"].strip())):
            counted = after
        count = counted["count"].strip() if counted else ""
        if not (counted and _COUNT.fullmatch(count) and 2 <= int(count) <= MOST_USES):  # noqa: PLR2004
            raise PedigreeError(
                f"{name} has no count that can be", where=_column(column),
                cure=f"Write the recurrent parent once, with its uses (2 to {MOST_USES}): B*3",
            )  # fmt: skip
        name, uses = counted["name"].strip(), int(count)
    try:
        return _Operand(Line(name), uses, column)
    except PedigreeError as error:
        raise PedigreeError(error.what, where=_column(column), cure=error.cure) from error


def _join(made: list[_Operand], one: _Mark) -> None:
    """Replace the last two operands by their cross."""
    right, left = made.pop(), made.pop()
    if left.uses > 1 and right.uses > 1:
        raise PedigreeError(
            "both parents of one cross carry a count", where=_column(right.column),
            cure="Only the recurrent parent has one",
        )  # fmt: skip
    node: Pedigree
    if isinstance(right.node, Line) and right.uses > 1:
        node = Backcross(left.node, right.node, right.uses)
    elif isinstance(left.node, Line) and left.uses > 1:
        node = Backcross(right.node, left.node, left.uses, recurrent_is_female=True)
    else:
        node = PedigreeCross(left.node, right.node)
    made.append(_Operand(node, 1, one.column))


def _column(column: int) -> str:
    return f"column {column}"
