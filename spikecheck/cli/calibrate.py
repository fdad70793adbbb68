"""`spikecheck calibrate`: the pass limit, chosen anew on one's own marked photos."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.endings import BAD_INPUT, DONE, REVIEW

if TYPE_CHECKING:
    from spikecheck.labelling.progress import FolderProgress
    from spikecheck.vocabulary import CheckResult, ModelIdentity, PhotoTruth

EXAMPLES = """Example: spikecheck calibrate my_photos --name "glasshouse 2"

With a weaker promise: spikecheck calibrate my_photos --alpha 0.05 --out calibration.toml"""


def calibrate(
    folder: Annotated[
        Path,
        typer.Argument(
            metavar="FOLDER", help="Holds photos marked with the label command.", show_default=False
        ),
    ],
    out: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Where to write the calibration; when left out, where the other commands look "
            "for it: SPIKECHECK_CALIBRATION, or your configuration folder.",
        ),
    ] = None,
    name: Annotated[
        str | None,
        typer.Option(metavar="TEXT", help="What the photos show; the folder's name when left out."),
    ] = None,
    alpha: Annotated[
        float,
        typer.Option(
            metavar="SHARE",
            help="Share of spikes with a visible leftover that may pass, above 0 and below 1.",
        ),
    ] = 0.01,
    json: Annotated[
        bool, typer.Option("--json", help="Print the outcome as one JSON object, nothing else.")
    ] = False,
    workers: Annotated[
        int | None,
        typer.Option(metavar="N", min=1, help="Photos checked at once; all cores when left out."),
    ] = None,
) -> None:
    """Choose the pass limit on your own marked photos. Ends with 1 when they are too few."""
    from spikecheck.assessment.calibration_file import write_calibration
    from spikecheck.assessment.conformal import spikes_needed
    from spikecheck.cli.calibration_text import outcome_entry, show_outcome
    from spikecheck.cli.console import say
    from spikecheck.labelling.own_calibration import choose_limit, score_spikes, set_digest
    from spikecheck.labelling.progress import folder_progress
    from spikecheck.pipeline.batch_folder import list_photos
    from spikecheck.pipeline.calibration_choice import own_calibration_file

    spikes_needed(alpha)  # refuses an impossible share before the work
    progress = folder_progress(list_photos(folder, recursive=False))
    _refuse_unfinished(progress, folder)
    model = _model()
    checked, unreadable = _check(progress, workers=workers)
    outcome = choose_limit(
        score_spikes(checked),
        alpha=alpha,
        name=(name or folder.resolve().name).strip() or "own photos",
        sha256=set_digest(_digests(checked)),
    )
    file = None
    if outcome.calibration is not None:
        file = out or own_calibration_file()
        if out is None:
            _make_folder(file.parent)
        write_calibration(outcome.calibration, file, model=model)
    if json:
        from json import dumps

        say(dumps(outcome_entry(outcome, file=file, model=model), allow_nan=False))
    else:
        show_outcome(outcome, file=file)
    if unreadable:
        raise typer.Exit(BAD_INPUT)
    raise typer.Exit(REVIEW if file is None else DONE)


def _refuse_unfinished(progress: FolderProgress, folder: Path) -> None:
    from spikecheck.cli.console import complain
    from spikecheck.errors import CalibrationError

    for each in progress.photos:
        if each.problem:
            complain(each.problem)
    if not progress.finished:
        raise CalibrationError(
            "no photo is marked and finished",
            where=str(folder),
            cure="Mark the photos first with spikecheck label",
        )


def _model() -> ModelIdentity:
    from spikecheck.errors import CalibrationError
    from spikecheck.pipeline.finders import default_finder
    from spikecheck.thresholds import load_thresholds
    from spikecheck.vocabulary import NETWORK_FREE

    model = default_finder(load_thresholds()).model
    if model.name == NETWORK_FREE:
        raise CalibrationError(
            "no network is installed, and the network-free method has no pass limit to choose",
            cure="Install spikecheck with its networks",
        )
    return model


def _check(
    progress: FolderProgress, *, workers: int | None
) -> tuple[list[tuple[Path, PhotoTruth, CheckResult]], bool]:
    """Return photo, truth and result of each finished photo, and whether one is unreadable."""
    from spikecheck.cli.progress import Bar
    from spikecheck.pipeline.batch_pool import core_count
    from spikecheck.pipeline.check_each import check_each

    truths = {each.photo: each.truth for each in progress.finished}
    checked, unreadable = [], False
    processes = min(workers or core_count(), len(truths))
    with Bar("Checking") as bar, closing(check_each(list(truths), workers=processes)) as checks:
        for done, each in enumerate(checks, start=1):
            bar.set(done, len(truths))
            truth = truths[each.path]
            if each.result is not None and truth is not None:
                checked.append((each.path, truth, each.result))
            elif each.error is not None:
                unreadable = True
                bar.complain(each.error)
    return sorted(checked, key=lambda entry: entry[0]), unreadable


def _digests(checked: list[tuple[Path, PhotoTruth, CheckResult]]) -> list[tuple[str, bytes]]:
    from spikecheck.errors import CalibrationError
    from spikecheck.labelling.label_file import label_path

    try:
        return [
            (result.photos[0].sha256, label_path(photo).read_bytes())
            for photo, _, result in checked
        ]
    except OSError as error:
        raise CalibrationError(
            f"a truth file can no longer be read ({error.strerror})",
            where=str(error.filename),
            cure="Bring it back and calibrate again",
        ) from error


def _make_folder(folder: Path) -> None:
    from spikecheck.errors import OutputError

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(
            f"the folder cannot be made ({error.strerror})",
            where=str(folder),
            cure="Name a file in a folder that you may write to after --out",
        ) from error
