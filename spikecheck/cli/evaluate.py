"""`spikecheck evaluate`: how right the answers are, on photos whose truth is known."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.calibration_option import CalibrationOption
from spikecheck.cli.endings import BAD_INPUT

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from spikecheck.evaluation import Evaluation
    from spikecheck.pipeline.check_each import Checked
    from spikecheck.vocabulary import CheckResult

EXAMPLES = """Example: spikecheck evaluate marked_photos --json scores.json"""


def evaluate(
    folder: Annotated[
        Path,
        typer.Argument(
            metavar="FOLDER",
            help="Holds photos, each with a truth file of the same name ending in .json.",
            show_default=False,
        ),
    ],
    json: Annotated[
        Path | None,
        typer.Option("--json", metavar="FILE", help="Write all scores to this file as JSON."),
    ] = None,
    by: Annotated[
        str | None,
        typer.Option(
            metavar="KIND",
            help="Show every family of this kind apart, such as light, background or plant.",
        ),
    ] = None,
    workers: Annotated[
        int | None,
        typer.Option(metavar="N", min=1, help="Photos checked at once; all cores when left out."),
    ] = None,
    calibration: CalibrationOption = None,
) -> None:
    """Compare the answers with the truth: recall, precision and verdicts, with 95 % intervals."""
    from spikecheck.cli.console import say
    from spikecheck.cli.progress import Bar
    from spikecheck.cli.tables import show_evaluation, show_families, show_mistakes
    from spikecheck.cli.verdict_text import calibration_text
    from spikecheck.evaluation import evaluate_folder
    from spikecheck.evaluation.folder import photo_paths
    from spikecheck.pipeline.batch_pool import core_count
    from spikecheck.pipeline.calibration_choice import own_calibration
    from spikecheck.pipeline.check_each import check_each

    paths = photo_paths(folder)
    own = own_calibration(calibration)
    processes = min(workers or core_count(), len(paths))
    with (
        Bar("Evaluating") as bar,
        closing(check_each(paths, workers=processes, calibration=own)) as checks,
    ):
        evaluation = evaluate_folder(
            folder,
            check=in_any_order(checks),
            progress=lambda done, total, _: bar.set(done, total),
        )
    if json is not None:
        _write(evaluation, json)
    show_evaluation(evaluation)
    show_mistakes(evaluation)
    if by is not None:
        show_families(evaluation, by)
    if own is not None:
        say(calibration_text(own))
    if any(outcome.error is not None for outcome in evaluation.outcomes):
        raise typer.Exit(BAD_INPUT)


def in_any_order(checks: Iterator[Checked]) -> Callable[[Path], CheckResult]:
    """Return a function that gives the result of one photo from checks that end in any order."""
    ready: dict[Path, Checked] = {}

    def result_of(path: Path) -> CheckResult:
        while path not in ready:
            checked = next(checks)
            ready[checked.path] = checked
        outcome = ready.pop(path)
        if outcome.error is not None:
            raise outcome.error
        if outcome.result is None:
            raise TypeError("a checked photo has a result or an error")
        return outcome.result

    return result_of


def _write(evaluation: Evaluation, file: Path) -> None:
    import json

    from spikecheck.errors import OutputError
    from spikecheck.evaluation import evaluation_entry

    text = json.dumps(evaluation_entry(evaluation), indent=1, allow_nan=False) + "\n"
    try:
        file.write_text(text, encoding="utf-8")
    except OSError as error:
        raise OutputError(
            f"the scores cannot be written ({error.strerror})",
            where=str(file),
            cure="Name a file in a folder that you may write to after --json",
        ) from error
