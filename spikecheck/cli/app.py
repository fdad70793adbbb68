"""`spikecheck app`: serves the page, in a process of its own."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from spikecheck.cli.store_option import StoreOption

EXAMPLES = """Example: spikecheck app

For phones in the same network: spikecheck app --lan --port 8600

For trainees: spikecheck app --practice practice_photos"""

PortOption = Annotated[
    int, typer.Option(metavar="PORT", min=1, max=65535, help="Port to serve on.")
]
LanOption = Annotated[
    bool,
    typer.Option(
        "--lan",
        help="Serve the local network too, for photos from a phone. Anyone on that network "
        "can then see and record.",
    ),
]

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

_HERE_ONLY = "127.0.0.1"
_ALL_ADDRESSES = "0.0.0.0"  # noqa: S104  (only on --lan, with a caution)
_CAUTION = (
    "Caution: anyone on this network can open the page, see the records and add to them. "
    "Use it only in a network you trust, and stop it when done."
)


def app(
    port: PortOption = 8501,
    lan: LanOption = False,
    store: StoreOption = None,
    practice: PracticeOption = None,
    practice_numbers: NumbersOption = None,
) -> None:
    """Serve the page on this machine: check, see, record. Stop it with Ctrl-C."""
    import os

    environment = dict(os.environ)
    if store is not None:
        environment["SPIKECHECK_STORE"] = store
    environment |= _practice_environment(practice or [], practice_numbers)
    serve_page(port=port, lan=lan, environment=environment)


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


def serve_page(*, port: int, lan: bool, environment: dict[str, str]) -> None:
    """Serve the page until it is stopped, and say where it is.

    Parameters
    ----------
    port
        Port to serve on.
    lan
        Whether to serve the local network too.
    environment
        Environment variables of the server.

    Raises
    ------
    UsageError
        If the port cannot be used.
    InstallationError
        If the page lacks or fails.
    """
    from spikecheck.bundled import bundled_folder
    from spikecheck.cli.console import say

    address = _ALL_ADDRESSES if lan else _HERE_ONLY
    script = bundled_folder("app") / "streamlit_app.py"
    refuse_busy_port(address, port)
    if lan:
        say(_CAUTION)
        say(f"On this machine: http://{_HERE_ONLY}:{port}")
        say(f"In the network: http://{own_address()}:{port}")
    else:
        say(f"Open http://{_HERE_ONLY}:{port} in a browser. Stop with Ctrl-C.")
    code = _serve(server_command(script, address, port), environment)
    if code:
        from spikecheck.errors import InstallationError

        raise InstallationError(
            f"the page stopped with code {code}", cure="See the lines above it for why"
        )


def server_command(script: Path, address: str, port: int) -> list[str]:
    """Return the command that serves ``script``: no browser opened, no usage statistics sent."""
    import sys

    options = {
        "server.address": address,
        "server.port": port,
        "server.headless": "true",
        "server.fileWatcherType": "none",
        "logger.level": "warning",
        "logger.hideWelcomeMessage": "true",  # the address was told already, with its cautions
        "browser.gatherUsageStats": "false",
        "client.toolbarMode": "minimal",
        "client.showErrorDetails": "none",  # a crash shows no paths of this machine to a phone
        "theme.primaryColor": "#0b5a8a",  # buttons are blue: red would look like an alarm
        "global.developmentMode": "false",
    }
    command = [sys.executable, "-m", "streamlit", "run", str(script)]
    return command + [f"--{name}={value}" for name, value in options.items()]


def refuse_busy_port(address: str, port: int) -> None:
    """Find out whether the port is free before anything is started.

    Raises
    ------
    UsageError
        If something listens there already, or the port may not be used.
    """
    import socket

    from spikecheck.errors import UsageError

    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((address, port))
        except OSError as error:
            raise UsageError(
                f"port {port} cannot be used ({error.strerror})",
                cure="Name another after --port, or stop what uses it",
            ) from error


def own_address() -> str:
    """Return this machine's address in its network, or its name where that is not known."""
    import socket

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # Choosing a route sends nothing; the address is one reserved for documentation,
            # RFC 5737.
            probe.connect(("192.0.2.1", 9))
            return str(probe.getsockname()[0])
        except OSError:
            return socket.gethostname()


def _serve(command: list[str], environment: dict[str, str]) -> int:
    """Run the server until it ends; when this process is told to end, so is the server."""
    import signal
    import subprocess
    import sys

    signal.signal(signal.SIGTERM, lambda number, _: sys.exit(128 + number))
    with subprocess.Popen(command, env=environment) as server:  # noqa: S603  (built above)
        try:
            return server.wait()
        finally:
            if server.poll() is None:
                server.terminate()
