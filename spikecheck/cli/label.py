"""`spikecheck label`: mark what is really in one's own photos."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.serving import CertificateOption, KeyOption, LanOption, PortOption

if TYPE_CHECKING:
    from spikecheck.labelling.progress import FolderProgress

EXAMPLES = """Example: spikecheck label my_photos

How far it is: spikecheck label my_photos --status

For fitting a network: spikecheck label my_photos --export marked_photos"""

_SHARES = (1, 5)  # per cent


def label(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="Holds the photos.", show_default=False)
    ],
    status: Annotated[
        bool, typer.Option("--status", help="Tell how far the marking is; serve nothing.")
    ] = False,
    export: Annotated[
        Path | None,
        typer.Option(
            metavar="FOLDER",
            help="Copy finished photos and their truth files to this folder; serve nothing.",
        ),
    ] = None,
    port: PortOption = 8501,
    lan: LanOption = False,
    certificate: CertificateOption = None,
    key: KeyOption = None,
) -> None:
    """Mark leftover anthers in your own photos, on a page in the browser. Stop it with Ctrl-C."""
    from spikecheck.labelling.progress import folder_progress
    from spikecheck.pipeline.batch_folder import list_photos

    photos = list_photos(folder, recursive=False)
    if export is not None:
        _export(folder_progress(photos), export)
    if status:
        _show_status(folder_progress(photos))
    if status or export is not None:
        return
    import os

    from spikecheck.cli.serving import Serving, serve_page
    from spikecheck.labelling import LABEL_FOLDER_VARIABLE

    environment = {**os.environ, LABEL_FOLDER_VARIABLE: str(folder.resolve())}
    serve_page(Serving(port, lan, certificate, key), environment=environment)


def _export(progress: FolderProgress, folder: Path) -> None:
    from spikecheck.cli.console import printable, say
    from spikecheck.labelling.export import export_labels

    copied = export_labels(progress, folder)
    photos = "1 finished photo" if len(copied) == 1 else f"{len(copied)} finished photos"
    say(f"{photos} with truth files: {printable(str(folder))}")


def _show_status(progress: FolderProgress) -> None:
    from spikecheck.cli.console import complain, say
    from spikecheck.labelling.progress import Marking
    from spikecheck.vocabulary import AntherStage

    for each in progress.photos:
        if each.marking is Marking.DAMAGED:
            complain(each.problem)
    begun = sum(each.marking is Marking.BEGUN for each in progress.photos)
    say(
        f"{len(progress.finished)} of {len(progress.photos)} photos are finished"
        + (f", {begun} begun" if begun else "")
    )
    say(f"Spikes with a leftover: {progress.leftover_spikes}; clean: {progress.clean_spikes}")
    stages = [f"{stage} {progress.leftovers.get(stage, 0)}" for stage in AntherStage]
    if unknown := progress.leftovers.get(None, 0):
        stages.append(f"stage not told {unknown}")
    say(f"Leftover anthers: {', '.join(stages)}")
    for share in _SHARES:
        lacking = progress.lacking(share / 100)
        more = f"{lacking} more spikes with a leftover needed" if lacking else "enough spikes"
        say(f"To promise that at most {share} % of them pass: {more}")
