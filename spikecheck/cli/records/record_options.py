"""Options that the commands of a spike's history share."""

from __future__ import annotations

from typing import Annotated

import typer

SpikesArgument = Annotated[
    list[str],
    typer.Argument(
        metavar="SPIKE",
        help="Spikes by cross and number, such as C-014/3 or C-014/1-4,7, or by the code of a tag.",
        show_default=False,
    ),
]
SpikeArgument = Annotated[
    str,
    typer.Argument(
        metavar="SPIKE",
        help="The spike by cross and number, such as C-014/3, or by the code of a tag.",
        show_default=False,
    ),
]
ByOption = Annotated[
    str,
    typer.Option(
        "--by", metavar="NAME", envvar="SPIKECHECK_BY", show_envvar=False,
        help="Who did it; SPIKECHECK_BY when left out.",
    ),
]  # fmt: skip
WriterOption = Annotated[
    str,
    typer.Option(
        "--by", metavar="NAME", envvar="SPIKECHECK_BY", show_envvar=False,
        help="Who writes it down; SPIKECHECK_BY when left out.",
    ),
]  # fmt: skip
AtOption = Annotated[
    str | None,
    typer.Option(
        "--at",
        metavar="WHEN",
        help="When it happened: '2026-05-04 09:30', 2026-05-04 or 09:30; now when left out.",
    ),
]
SessionOption = Annotated[
    str, typer.Option("--session", metavar="ID", help="Crossing session it was part of.")
]
NoteOption = Annotated[str, typer.Option("--note", metavar="TEXT", help="Free text.")]
CorrectsOption = Annotated[
    int | None,
    typer.Option(
        "--corrects", metavar="ENTRY", min=1,
        help="Put this in the place of an earlier entry of the spike; needs --reason.",
    ),
]  # fmt: skip
CorrectionReasonOption = Annotated[
    str, typer.Option("--reason", metavar="TEXT", help="Why an entry is corrected.")
]
