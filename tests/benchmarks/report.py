"""Shows what was measured, and writes it down for programs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence


def add_json_option(parser: argparse.ArgumentParser) -> None:
    """Give a command the option ``--json FILE``."""
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the figures here too")


def show(title: str, headings: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print a title and a table whose first column is text and whose others are numbers."""
    console = Console()
    # not as the table's own title, which is broken where the table is narrower
    console.print(title, style="italic", soft_wrap=True)
    table = Table(box=SIMPLE_HEAD)
    for number, heading in enumerate(headings):
        table.add_column(heading, justify="right" if number else "left", no_wrap=not number)
    for row in rows:
        table.add_row(*row)
    console.print(table)


def keep(figures: dict[str, Any], file: Path | None) -> None:
    """Write the figures as JSON, if a file is wanted."""
    if file is not None:
        file.write_text(json.dumps(figures, indent=1) + "\n", encoding="utf-8")
