"""What a report is made of: one description, from which both kinds of file are made."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from spikecheck.charts import Chart


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Facts:
    """Labels, each with its value; a value may have several lines."""

    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table.

    Parameters
    ----------
    name
        What it shows, for those who only hear it.
    head
        Names of the columns.
    rows
        Texts, as many as columns; the first names the row.
    shares
        How the width is divided among the columns, in any unit.
    numbers
        Columns whose texts are numbers, by place from 0.
    total
        Whether the last row adds the others up.
    named
        Whether its name is written above it, where a heading alone does not say what it shows.
    """

    name: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[float, ...]
    numbers: frozenset[int] = frozenset()
    total: bool = False
    named: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A chart, told in words below it."""

    chart: Chart


@dataclass(frozen=True, slots=True)
class Shot:
    """A small picture with its words.

    Parameters
    ----------
    jpeg
        Bytes of a JPEG file; empty where it is missing.
    width, height
        Of the picture, px.
    caption
        Below it.
    told
        What it shows, for those who cannot see it; said in its place where it is missing.
    """

    jpeg: bytes
    width: int
    height: int
    caption: str
    told: str


@dataclass(frozen=True, slots=True)
class Pictures:
    """Small pictures side by side."""

    shots: tuple[Shot, ...]


Block = Text | Facts | Table | Figure | Pictures


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a report with a heading."""

    heading: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """A whole report, in the reader's words.

    Parameters
    ----------
    title
        Of the report.
    running
        A line for the top of each page.
    language
        ISO 639-1 code.
    made
        When it was made, as PDF writes moments (ISO 32000-1, 7.9.4).
    author
        What made it.
    sections
        In order.
    """

    title: str
    running: str
    language: str
    made: str
    author: str
    sections: tuple[Section, ...]
