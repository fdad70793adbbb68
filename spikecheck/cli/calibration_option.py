"""Which calibration is in force: one option for every command that checks photos."""

from __future__ import annotations

from typing import Annotated

import typer

CalibrationOption = Annotated[
    str | None,
    typer.Option(
        "--calibration",
        metavar="FILE|shipped",
        help="A calibration file, or the word shipped for the one that comes with the network. "
        "When left out: SPIKECHECK_CALIBRATION, else your own (see the calibrate command), else "
        "the shipped one.",
    ),
]
