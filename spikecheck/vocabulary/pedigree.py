"""Pedigrees in Purdy notation: lines, crosses and backcrosses, and how they are written.

References
----------
Purdy LH, Loegering WQ, Konzak CF, Peterson CJ, Allan RE (1968). A proposed standard method for
illustrating pedigrees of small grain varieties. Crop Science 8:405-406.
"""

from __future__ import annotations

from dataclasses import dataclass

from spikecheck.errors import PedigreeError, UsageError
from spikecheck.vocabulary.text import tidy_name

# Twenty backcrosses make a near-isogenic line; beyond that a count is a typing error (common
# practice).
MOST_USES = 99
LONGEST_LEVEL_DIGITS = 4
_LOOKALIKES = {
    "\N{FULLWIDTH SOLIDUS}": "/",
    "\N{FRACTION SLASH}": "/",
    "\N{DIVISION SLASH}": "/",
    "\N{FULLWIDTH ASTERISK}": "*",
    "\N{ASTERISK OPERATOR}": "*",
}


class _Written:
    """Equality, hash and text through the notation, which is one to one.

    Walking the tree instead would end at Python's depth of recursion; pedigrees go deeper.
    """

    __slots__ = ()

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, _Written):
            return NotImplemented
        return format_pedigree(self) == format_pedigree(other)  # type: ignore[arg-type]

    def __hash__(self) -> int:
        return hash(format_pedigree(self))  # type: ignore[arg-type]

    def __repr__(self) -> str:
        return f"parse_pedigree({format_pedigree(self)!r})"  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Line(_Written):
    """A line or cultivar that stands for itself.

    Parameters
    ----------
    name
        In any script, blanks inside allowed; without "/" and "*", which the notation uses itself.

    Raises
    ------
    PedigreeError
        If the name is empty, too long, or holds a character of the notation or one that looks
        like it.
    """

    name: str

    def __post_init__(self) -> None:
        try:
            tidied = tidy_name(self.name, what="the name of a line")
        except UsageError as error:
            raise PedigreeError(error.what, cure=error.cure) from error
        for char in tidied:
            if char in "/*":
                raise PedigreeError(
                    f"the name {tidied} holds {char}, which stands for crossing in a pedigree",
                    cure="Give the line a name without it",
                )
            if char in _LOOKALIKES:
                raise PedigreeError(
                    f"the name {tidied} holds {char}, which looks like {_LOOKALIKES[char]}",
                    cure=f"Write {_LOOKALIKES[char]} if a cross is meant, else leave it out",
                )
        object.__setattr__(self, "name", tidied)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class PedigreeCross(_Written):
    """A female crossed with a male."""

    female: Pedigree
    male: Pedigree


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Backcross(_Written):
    """A donor crossed with one line again and again.

    Parameters
    ----------
    donor
        What the recurrent parent was first crossed with.
    recurrent
        The recurrent parent.
    uses
        How often it was used, from 2 (one backcross) to 99.
    recurrent_is_female
        Whether it stands on the left, as the female of the last cross.

    Raises
    ------
    PedigreeError
        If ``uses`` is out of range.
    """

    donor: Pedigree
    recurrent: Line
    uses: int
    recurrent_is_female: bool = False

    def __post_init__(self) -> None:
        if not 2 <= self.uses <= MOST_USES:  # noqa: PLR2004  (one use is a plain cross)
            raise PedigreeError(
                f"a recurrent parent is used from 2 to {MOST_USES} times, got {self.uses}",
                cure="For one use leave the count out",
            )


Pedigree = Line | PedigreeCross | Backcross


def format_pedigree(pedigree: Pedigree) -> str:
    """Return ``pedigree`` in Purdy notation: "/" first, then "//", "/3/", "/4/" and so on.

    A name of digits between two marks gets a blank before it, since ``/3/`` would be a mark.
    """
    names, levels = _flat(pedigree)
    pieces = [names[0]]
    for place, (level, name) in enumerate(zip(levels, names[1:], strict=True), start=1):
        like_a_mark = place < len(levels) and name.isascii() and name.isdecimal()
        pieces += [mark(level), f" {name}" if like_a_mark else name]
    return "".join(pieces)


def mark(level: int) -> str:
    """Return the mark of a cross of ``level``, from 1."""
    return "/" * level if level < 3 else f"/{level}/"  # noqa: PLR2004  (as the notation has it)


def expand_backcrosses(pedigree: Pedigree) -> Pedigree:
    """Return the same with every backcross written out: ``A/B*3`` becomes ``A/B//B/3/B``."""
    done: list[Pedigree] = []
    todo: list[tuple[Pedigree, bool]] = [(pedigree, False)]
    while todo:
        node, opened = todo.pop()
        if isinstance(node, Line):
            done.append(node)
        elif not opened:
            todo.append((node, True))
            if isinstance(node, PedigreeCross):
                todo += [(node.male, False), (node.female, False)]
            else:
                todo.append((node.donor, False))
        elif isinstance(node, PedigreeCross):
            male, female = done.pop(), done.pop()
            done.append(PedigreeCross(female, male))
        else:
            made = done.pop()
            for _ in range(node.uses):
                pair = (
                    (node.recurrent, made) if node.recurrent_is_female else (made, node.recurrent)
                )
                made = PedigreeCross(*pair)
            done.append(made)
    return done[0]


def _flat(pedigree: Pedigree) -> tuple[list[str], list[int]]:
    """Return the names from left to right and the level of the cross between each two."""
    names: list[str] = []
    levels: list[int] = []
    height = _heights(pedigree)
    todo: list[Pedigree | str | int] = [pedigree]
    while todo:
        node = todo.pop()
        if isinstance(node, str):
            names.append(node)
        elif isinstance(node, int):
            levels.append(node)
        elif isinstance(node, Line):
            names.append(node.name)
        elif isinstance(node, PedigreeCross):
            todo += [node.male, height[id(node)], node.female]
        else:
            counted = f"{node.recurrent.name}*{node.uses}"
            sides = (node.donor, height[id(node)], counted)
            todo += sides if node.recurrent_is_female else reversed(sides)
    return names, levels


def _heights(pedigree: Pedigree) -> dict[int, int]:
    """Return the level of each node by its identity; a line has 0."""
    height: dict[int, int] = {}
    todo: list[tuple[Pedigree, bool]] = [(pedigree, False)]
    while todo:
        node, opened = todo.pop()
        if isinstance(node, Line):
            height[id(node)] = 0
            continue
        below = (
            (node.female, node.male) if isinstance(node, PedigreeCross) else (node.donor,)
        )  # fmt: skip
        if opened:
            height[id(node)] = 1 + max(height[id(one)] for one in below)
        elif id(node) not in height:
            todo.append((node, True))
            todo += [(one, False) for one in below]
    return height
