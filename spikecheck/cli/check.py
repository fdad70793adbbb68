"""`spikecheck check`: one spike, from one or more photos of its faces."""

from __future__ import annotations

from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.calibration_option import CalibrationOption
from spikecheck.cli.endings import DONE, REVIEW
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from spikecheck.store import RecordedCheck, Store
    from spikecheck.vocabulary import CheckResult

EXAMPLES = """Example: spikecheck check front.jpg back.jpg

Recorded beside a cross: spikecheck check front.jpg back.jpg --cross C-014 --spike 3 --by AB

Recorded where the tag in the photo says: spikecheck check front.jpg back.jpg --by AB"""


def check(
    photos: Annotated[
        list[Path],
        typer.Argument(
            metavar="PHOTO",
            help="Photos of one spike, each of another face.",
            show_default=False,
        ),
    ],
    cross: Annotated[
        str | None,
        typer.Option(
            metavar="ID",
            help="Record the check beside this cross; the tag in the photo says it when left out.",
        ),
    ] = None,
    spike: Annotated[
        int | None, typer.Option(metavar="N", min=1, help="Number of the spike within the cross.")
    ] = None,
    by: Annotated[str | None, typer.Option(metavar="NAME", help="Who checks.")] = None,
    at: Annotated[
        str | None,
        typer.Option(
            metavar="WHEN",
            help="When the photos were taken: '2026-05-04 09:30'; now when left out.",
        ),
    ] = None,
    json: Annotated[
        bool, typer.Option("--json", help="Print the result as one JSON object, nothing else.")
    ] = False,
    overlay: Annotated[
        Path | None,
        typer.Option(
            metavar="FOLDER",
            help="Where to write the pictures with the findings; the current folder when left out. "
            "With --json they are written only when this is given.",
        ),
    ] = None,
    store: StoreOption = None,
    calibration: CalibrationOption = None,
) -> None:
    """Check one spike: is an anther left? Ends with 0 on pass and 1 on review."""
    from spikecheck.cli.checking import check_with_overlays
    from spikecheck.cli.console import complain
    from spikecheck.cli.overlay_files import write_overlays
    from spikecheck.errors import OutputError, SpikecheckError
    from spikecheck.vocabulary import Verdict

    wanted = _record_wanted(cross, spike, by, at, store)
    with ExitStack() as stack:
        records = None
        if wanted is not None:
            from spikecheck.record_check import told_of_other_spikes
            from spikecheck.store import open_store

            records = stack.enter_context(open_store(store))
            if wanted.cross is not None:
                records.cross(wanted.cross)  # an unknown cross is told before the work
        result, overlays = check_with_overlays(photos, calibration=calibration)
        files: list[Path] = []
        # What goes wrong from here on is told after the verdict, which must not be lost for it.
        wrong: SpikecheckError | None = None
        if overlay is not None or not json:
            try:
                files = write_overlays(overlays, photos, folder=overlay or Path())
            except OutputError as error:
                wrong = error
        recorded, doubt = None, ""
        if records is not None and wanted is not None:
            try:
                recorded = _recorded(records, result, photos, overlays, wanted)
                doubt = told_of_other_spikes(
                    records, result, cross=recorded.cross, spike=recorded.spike
                )
            except SpikecheckError as error:
                wrong = error
        where = "" if records is None else records.location
    _tell(result, json=json, files=files, recorded=recorded, where=where, asked=wanted is not None)
    if doubt:
        complain(doubt)
    if wrong is not None:
        raise wrong
    raise typer.Exit(DONE if result.verdict is Verdict.PASS else REVIEW)


@dataclass(frozen=True, slots=True)
class _Wanted:
    """Under what to record: cross and spike, or None where the tag says it."""

    cross: str | None
    spike: int | None
    by: str
    at: datetime | None


def _record_wanted(
    cross: str | None, spike: int | None, by: str | None, at: str | None, store: str | None
) -> _Wanted | None:
    """Return what to record under, or None; options that are half there are refused."""
    from spikecheck.cli.records.recorded_text import typed_moment

    if by is not None and (cross is None) == (spike is None):
        return _Wanted(cross, spike, by, None if at is None else typed_moment(at))
    if cross is None and spike is None and by is None and at is None and store is None:
        return None
    from spikecheck.errors import UsageError

    options = {"--cross": cross, "--spike": spike, "--by": by}
    missing = " and ".join(name for name, value in options.items() if value is None)
    raise UsageError(
        "a check is recorded with --by, and with --cross and --spike where no tag is in the "
        f"photo; not given: {missing}",
        cure=f"Add {missing}, or leave all of them out to check without recording",
    )


def _recorded(
    records: Store,
    result: CheckResult,
    photos: Sequence[Path],
    overlays: Sequence[bytes],
    wanted: _Wanted,
) -> RecordedCheck:
    from spikecheck.errors import PhotoError
    from spikecheck.record_check import record_check, spike_of_tag

    if wanted.cross is None or wanted.spike is None:
        cross, spike = spike_of_tag(records, result)
    else:
        cross, spike = wanted.cross, wanted.spike
    contents = []
    for path in photos:
        try:
            contents.append(path.read_bytes())
        except OSError as error:
            raise PhotoError(
                f"can no longer be read ({error.strerror})",
                where=str(path),
                cure="Bring it back and check again; nothing was recorded",
            ) from error
    return record_check(
        records,
        result,
        cross=cross,
        spike=spike,
        by=wanted.by,
        photos=contents,
        at=wanted.at,
        overlays=overlays,
    )


def _tell(
    result: CheckResult,
    *,
    json: bool,
    files: Sequence[Path],
    recorded: RecordedCheck | None,
    where: str,
    asked: bool,
) -> None:
    from spikecheck.cli.console import complain, printable, say
    from spikecheck.cli.verdict_text import show_overlay_files, show_result

    line = ""
    if recorded is not None:
        line = printable(
            f"Recorded as check {recorded.id} beside cross {recorded.cross}, "
            f"spike {recorded.spike}, by {recorded.by}, in {where}"
        )
    if json:
        from json import dumps

        from spikecheck.pipeline import result_entry

        say(dumps(result_entry(result), allow_nan=False))
        if line:
            complain(line)
        return
    show_result(result)
    show_overlay_files(files)
    if result.tag is not None and not line:
        from spikecheck.vocabulary.tag_code import shown_code

        say(f"Tag in the photo: {shown_code(result.tag.code)}")
    if line:
        say(line)
    elif not asked:
        where_to = "" if result.tag is not None else " --cross ID --spike N"
        say(f"Not recorded. To record it: add --by NAME{where_to}")
