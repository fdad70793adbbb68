"""`spikecheck batch`: every photo of a folder, each as a spike of its own."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.calibration_option import CalibrationOption
from spikecheck.cli.endings import BAD_INPUT, DONE, REVIEW

if TYPE_CHECKING:
    from spikecheck.pipeline.batch import BatchStep, BatchSummary

EXAMPLES = """Example: spikecheck batch photos --jsonl results.jsonl

With subfolders, on two cores: spikecheck batch photos --recursive --workers 2"""


def batch(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="Holds the photos.", show_default=False)
    ],
    jsonl: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write one JSON object a photo to this file, each as soon as it is ready. Given "
            "again after a stop, photos already in it are not checked again, unless the photo, "
            "the software, the model, the thresholds or the calibration changed.",
        ),
    ] = None,
    workers: Annotated[
        int | None,
        typer.Option(metavar="N", min=1, help="Photos checked at once; all cores when left out."),
    ] = None,
    recursive: Annotated[
        bool, typer.Option("--recursive", help="Look into subfolders too.")
    ] = False,
    calibration: CalibrationOption = None,
) -> None:
    """Check every photo of a folder. Ends with 2 if one is unreadable, else 1 on any review."""
    from spikecheck.cli.console import say
    from spikecheck.cli.progress import Bar
    from spikecheck.cli.verdict_text import calibration_text
    from spikecheck.pipeline.batch import check_folder
    from spikecheck.pipeline.calibration_choice import own_calibration

    own = own_calibration(calibration)

    with Bar("Checking") as bar:

        def tell(step: BatchStep) -> None:
            bar.set(step.done, step.total)
            if step.error is not None:
                bar.complain(step.error)
            elif jsonl is None and step.result is not None:
                bar.say(_line(step))

        summary = check_folder(
            folder,
            jsonl=jsonl,
            workers=workers,
            recursive=recursive,
            calibration=own,
            progress=tell,
        )
    _show(summary, jsonl)
    if own is not None:
        say(calibration_text(own))
    if summary.unreadable:
        raise typer.Exit(BAD_INPUT)
    raise typer.Exit(REVIEW if summary.review else DONE)


def _line(step: BatchStep) -> str:
    from spikecheck.cli.console import printable

    why = step.result.reasons[0].message if step.result and step.result.reasons else ""
    verdict = "" if step.verdict is None else step.verdict.upper()
    return f"{verdict:<6}  {printable(step.file)}  {printable(why)}".rstrip()


def _show(summary: BatchSummary, jsonl: Path | None) -> None:
    from spikecheck.cli.console import printable, say

    total = summary.passed + summary.review + summary.unreadable
    photos = "1 photo" if total == 1 else f"{total} photos"
    parts = [f"{summary.passed} pass", f"{summary.review} review"]
    if summary.unreadable:
        parts.append(f"{summary.unreadable} unreadable")
    if summary.checked_before:
        parts.append(f"{summary.checked_before} of them checked before")
    say(f"{photos}: {', '.join(parts)}")
    if jsonl is not None:
        say(f"Results: {printable(str(jsonl))}")
