"""`spikecheck app`: serves the page."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from spikecheck.cli.serving import CertificateOption, KeyOption, LanOption, PortOption
from spikecheck.cli.store_option import StoreOption

EXAMPLES = """Example: spikecheck app

For phones in the same network: spikecheck app --lan --certificate page.pem --key page.key

For trainees: spikecheck app --practice practice_photos"""

PracticeOption = Annotated[
    list[Path] | None,
    typer.Option(
        "--practice",
        metavar="FOLDER",
        help="Photos with truth files for people to practise with; may be given again.",
    ),
]
NumbersOption = Annotated[
    Path | None,
    typer.Option("--practice-numbers", metavar="FILE", help="Your own numbers of practice (TOML)."),
]


def app(
    port: PortOption = 8501,
    lan: LanOption = False,
    certificate: CertificateOption = None,
    key: KeyOption = None,
    practice: PracticeOption = None,
    practice_numbers: NumbersOption = None,
    store: StoreOption = None,
) -> None:
    """Serve the page on this machine: check, see, record. Stop it with Ctrl-C."""
    import os

    from spikecheck.cli.serving import Serving, serve_page

    environment = dict(os.environ)
    if store is not None:
        environment["SPIKECHECK_STORE"] = store
    environment |= _practice_environment(practice or [], practice_numbers)
    serve_page(Serving(port, lan, certificate, key), environment=environment)


def _practice_environment(folders: list[Path], numbers: Path | None) -> dict[str, str]:
    """Return the variables that tell the page of practice; refuse what the page could not use."""
    if not folders and numbers is None:
        return {}
    import os

    from spikecheck.coaching import (
        PRACTICE_FOLDERS_VARIABLE,
        PRACTICE_NUMBERS_VARIABLE,
        read_numbers,
    )
    from spikecheck.errors import UsageError

    variables = {}
    for folder in folders:
        if not folder.is_dir():
            raise UsageError("no such folder", where=str(folder), cure="Name a folder of photos")
    if folders:
        named = os.pathsep.join(str(folder.resolve()) for folder in folders)
        variables[PRACTICE_FOLDERS_VARIABLE] = named
    if numbers is not None:
        read_numbers(numbers)
        variables[PRACTICE_NUMBERS_VARIABLE] = str(numbers.resolve())
    return variables
