"""Serves the page, in a process of its own: to whom, with which address, under which cautions."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from collections.abc import Mapping

    from spikecheck.access.people import People

PortOption = Annotated[
    int, typer.Option(metavar="PORT", min=1, max=65535, help="Port to serve on.")
]
LanOption = Annotated[
    bool,
    typer.Option(
        "--lan",
        help="Serve the local network too, for photos from a phone; everybody has to sign in.",
    ),
]
CertificateOption = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE", help="TLS certificate (PEM), so that the page is served by https."
    ),
]
KeyOption = Annotated[
    Path | None, typer.Option(metavar="FILE", help="Private key (PEM) of that certificate.")
]

_HERE_ONLY = "127.0.0.1"
_ALL_ADDRESSES = "0.0.0.0"  # noqa: S104  (only on --lan, with people who sign in)
_CAUTION = "The local network is served: whoever is in the people file can sign in from there."
_IN_CLEAR = (
    "Caution: without a certificate, passwords and photos cross this network in clear. Give "
    "--certificate and --key, or use a network where you trust everybody; stop it when done."
)


@dataclass(frozen=True, slots=True)
class Serving:
    """Where the page is served, and how.

    Parameters
    ----------
    port
        Port to serve on.
    lan
        Whether to serve the local network too.
    certificate, key
        TLS certificate and its private key; both or none.
    """

    port: int
    lan: bool
    certificate: Path | None = None
    key: Path | None = None


def serve_page(serving: Serving, *, environment: dict[str, str]) -> None:
    """Serve the page until it is stopped, and say where it is.

    Parameters
    ----------
    serving
        Where and how.
    environment
        Environment variables of the server.

    Raises
    ------
    UsageError
        If the port, the certificate or its key cannot be used.
    AccessError
        If the network is to be served while nobody can sign in.
    InstallationError
        If the page lacks or fails.
    """
    from spikecheck.bundled import bundled_folder
    from spikecheck.cli.console import say

    address = _ALL_ADDRESSES if serving.lan else _HERE_ONLY
    script = bundled_folder("app") / "server.py"
    refuse_half_a_certificate(serving)
    if serving.lan:
        refuse_nobody(environment)
    refuse_busy_port(address, serving.port)
    scheme = "https" if serving.certificate else "http"
    if serving.lan:
        say(_CAUTION if serving.certificate else f"{_CAUTION}\n{_IN_CLEAR}")
        say(f"On this machine: {scheme}://{_HERE_ONLY}:{serving.port}")
        say(f"In the network: {scheme}://{own_address()}:{serving.port}")
    else:
        say(f"Open {scheme}://{_HERE_ONLY}:{serving.port} in a browser. Stop with Ctrl-C.")
    code = _serve(server_command(script, address, serving), environment)
    if code:
        from spikecheck.errors import InstallationError

        raise InstallationError(
            f"the page stopped with code {code}", cure="See the lines above it for why"
        )


def server_command(script: Path, address: str, serving: Serving) -> list[str]:
    """Return the command that serves ``script``: no browser opened, no usage statistics sent."""
    import sys

    options = {
        "server.address": address,
        "server.port": serving.port,
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
    if serving.certificate is not None:
        options |= {"server.sslCertFile": serving.certificate, "server.sslKeyFile": serving.key}
    command = [sys.executable, "-m", "streamlit", "run", str(script)]
    return command + [f"--{name}={value}" for name, value in options.items()]


def refuse_half_a_certificate(serving: Serving) -> None:
    """Find out whether certificate and key are both there, or neither is asked for.

    Raises
    ------
    UsageError
        If one lacks or cannot be used.
    """
    from spikecheck.errors import UsageError

    if (serving.certificate is None) != (serving.key is None):
        raise UsageError(
            "a certificate and its key go together", cure="Give --certificate and --key, or neither"
        )
    if serving.certificate is None or serving.key is None:
        return
    import ssl

    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(
            # An encrypted key would be asked for in the server, which has no terminal.
            serving.certificate, serving.key, password=lambda: b""
        )  # fmt: skip
    except OSError as error:
        raise UsageError(
            f"the certificate and its key cannot be used ({error.strerror or 'not understood'})",
            where=f"{serving.certificate}, {serving.key}",
            cure="Give a PEM certificate and its unencrypted PEM key",
        ) from error


def refuse_nobody(environment: Mapping[str, str]) -> None:
    """Find out whether a supervisor could sign in from the network.

    Raises
    ------
    AccessError
        If not.
    """
    from spikecheck.errors import AccessError
    from spikecheck.store.people_place import people_file

    people = people_file(environment.get("SPIKECHECK_STORE")).read()
    if people is None:
        raise AccessError(
            "nobody can sign in yet, so the network is not served",
            cure="Add a supervisor first: spikecheck people add NAME --role supervisor",
        )
    if not _some_supervisor_gets_in(people):
        raise AccessError(
            "no supervisor has a password, and no OpenID Connect provider is set up",
            cure="Give one a password (spikecheck people change NAME --password), or describe the "
            "provider under [auth] in .streamlit/secrets.toml",
        )


def _some_supervisor_gets_in(people: People) -> bool:
    from spikecheck.access.roles import Role

    supervisors = [one for one in people.members if one.role is Role.SUPERVISOR]
    return any(one.password for one in supervisors) or _knows_a_provider()


def _knows_a_provider() -> bool:
    """Return whether Streamlit's secrets, in this folder or the user's, describe a provider."""
    import tomllib

    for folder in (Path.cwd(), Path.home()):
        try:
            secrets = tomllib.loads((folder / ".streamlit" / "secrets.toml").read_text("utf-8"))
        except (OSError, ValueError):
            continue
        if "auth" in secrets:
            return True
    return False


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
