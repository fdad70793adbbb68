"""`spikecheck report`: what happened in a crossing session, as files for the file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from collections.abc import Mapping

    from spikecheck.language import Language

EXAMPLES = """Example: spikecheck report S-0504 --pdf S-0504.pdf --by AB

In Spanish, as HTML: spikecheck report S-0504 --html S-0504.html --language es"""


def report(
    session_id: Annotated[
        str, typer.Argument(metavar="SESSION", help="The session.", show_default=False)
    ],
    pdf: Annotated[Path | None, typer.Option(metavar="FILE", help="Write it as a PDF.")] = None,
    html: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write it as one HTML file that needs no network."),
    ] = None,
    language: Annotated[
        str, typer.Option(metavar="CODE", help="en (English) or es (Spanish).")
    ] = "en",
    by: Annotated[
        str,
        typer.Option(
            "--by", metavar="NAME", envvar="SPIKECHECK_BY", show_envvar=False,
            help="Who makes it; SPIKECHECK_BY when left out.",
        ),
    ] = "",
    replace: Annotated[
        bool, typer.Option("--replace", help="Write over files that are there.")
    ] = False,
    store: StoreOption = None,
) -> None:  # fmt: skip
    """Write what happened in a session to a file: counts, decisions, audit, charts, pictures."""
    from rich.filesize import decimal

    from spikecheck.bookkeeping.local_time import local_zone
    from spikecheck.cli.console import printable, say
    from spikecheck.cli.progress import Bar
    from spikecheck.language import in_language
    from spikecheck.reports import report_files
    from spikecheck.store import open_store

    spoken = _language(language)
    targets = {kind: path for kind, path in (("pdf", pdf), ("html", html)) if path is not None}
    _refuse(targets, replace=replace)
    with open_store(store, make=False) as records, Bar("pictures") as bar, in_language(spoken):
        made = report_files(records, session_id, by=by, zone=local_zone(), on_progress=bar.set)
    for kind, path in targets.items():
        content = made.pdf if kind == "pdf" else made.html
        _write(path, content)
        say(printable(f"{path}: {decimal(len(content))}"))


def _language(code: str) -> Language:
    from spikecheck.errors import UsageError
    from spikecheck.language import Language

    try:
        return Language(code.strip().lower())
    except ValueError:
        raise UsageError(
            f"no report is made in the language {code}", cure=f"Choose {' or '.join(Language)}"
        ) from None


def _refuse(targets: Mapping[str, Path], *, replace: bool) -> None:
    """Refuse before the work what would be refused after it."""
    from spikecheck.errors import OutputError, UsageError

    if not targets:
        raise UsageError("no file is named", cure="Add --pdf FILE, --html FILE or both")
    places = [path.absolute() for path in targets.values()]
    if len(set(places)) < len(places):
        raise UsageError("both files have the same name", where=str(places[0]), cure="Give two")
    for path in targets.values():
        if path.is_dir():
            raise OutputError("is a folder", where=str(path), cure="Name a file in it")
        if path.exists() and not replace:
            raise OutputError(
                "is there already", where=str(path), cure="Add --replace, or name another file"
            )


def _write(path: Path, content: bytes) -> None:
    from spikecheck.cli.whole_file import write_whole
    from spikecheck.errors import OutputError

    try:
        write_whole(path, content)
    except OSError as error:
        raise OutputError(
            f"cannot be written ({error.strerror})", where=str(path), cure="Name another file"
        ) from error
