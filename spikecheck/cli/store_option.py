"""Where the records are: one option for every command that reads or writes them."""

from __future__ import annotations

from typing import Annotated

import typer

StoreOption = Annotated[
    str | None,
    typer.Option(
        "--store",
        metavar="WHERE",
        help="Folder of the records or URL of a database; SPIKECHECK_STORE or the user's data "
        "folder when left out.",
    ),
]
