"""A PostgreSQL server of the tests' own: started on a free port, gone with its data afterwards.

It listens on the loopback address only, has no Unix socket, and forgets everything in a power
cut: speed is what counts. The server refuses to run as root, so then it runs as the user
``postgres``, or else ``nobody``; its data lie in the system's folder for temporary files, since
pytest's own folders are closed to other users.
"""

from __future__ import annotations

import os
import pwd
import re
import shutil
import subprocess
import tempfile
import time
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tests.free_port import free_port

if TYPE_CHECKING:
    from collections.abc import Iterator

USER, PASSWORD = "keeper", "a secret % @ : / word"
_HOST = "127.0.0.1"
_PACKAGED = Path("/usr/lib/postgresql")
_START_S, _STOP_S, _TRIES = 60.0, 20.0, 3
# The shell becomes the server; what it leaves beside it waits until the tests' end of the pipe is
# closed, by them or because they were killed, and then stops the server at once (SIGQUIT: without
# a last checkpoint, since nothing of it is read again).
_UNTIL_PIPE_CLOSES = """
exec 3<&0 </dev/null
(read -r line <&3; kill -QUIT $$ 2>/dev/null) >/dev/null 2>&1 &
exec "$@" 3<&-
"""
_SETTINGS = {
    "listen_addresses": _HOST,
    "unix_socket_directories": "",
    "fsync": "off",
    "synchronous_commit": "off",
    "full_page_writes": "off",
    "max_connections": "60",
    "shared_buffers": "32MB",
    "wal_level": "minimal",
    "max_wal_senders": "0",
    "autovacuum": "off",
}


@dataclass(frozen=True, slots=True)
class PostgresqlServer:
    """A running server.

    Parameters
    ----------
    port
        Where it listens on the loopback address.
    process
        The server's main process.
    version
        Its major version.
    """

    port: int
    process: subprocess.Popen[bytes]
    version: int

    def address(self, database: str, *, user: str = USER, password: str | None = PASSWORD) -> str:
        """The URL of a database, as a user would write it."""
        from urllib.parse import quote

        login = user if password is None else f"{user}:{quote(password, safe='')}"
        return f"postgresql://{login}@{_HOST}:{self.port}/{database}"

    def order(self, statement: str, *, database: str = "postgres") -> list[tuple[Any, ...]]:
        """Carry out one statement outside any transaction and return its rows."""
        import psycopg

        with psycopg.connect(
            host=_HOST, port=self.port, user=USER, password=PASSWORD, dbname=database,
            autocommit=True,
        ) as connection:  # fmt: skip
            found = connection.execute(statement)  # type: ignore[call-overload]
            return found.fetchall() if found.description else []

    @contextmanager
    def new_database(self, name: str, *, like: str = "template1") -> Iterator[str]:
        """Make a database, yield its address, and drop it."""
        # Copying files is four times as fast as writing them to the log; older servers always do.
        how = "STRATEGY file_copy" if self.version >= 15 else ""
        self.order(f'CREATE DATABASE "{name}" TEMPLATE "{like}" {how}')
        try:
            yield self.address(name)
        finally:
            self.order(f'DROP DATABASE "{name}" WITH (FORCE)')


def find_programs() -> Path | None:
    """The folder of the newest server's programs that is installed here, or None."""
    on_path = shutil.which("postgres")
    folders = [Path(on_path).resolve().parent] if on_path else []
    tool = shutil.which("pg_config")
    if tool:
        told = subprocess.run([tool, "--bindir"], capture_output=True, text=True, check=False)
        folders.append(Path(told.stdout.strip() or "."))
    folders += sorted(_PACKAGED.glob("*/bin"), key=_version, reverse=True)
    return next((each for each in folders if _has_server(each)), None)


@contextmanager
def running_server(programs: Path) -> Iterator[PostgresqlServer]:
    """Start a server of the programs in this folder; stop it and remove its data at the end."""
    folder = Path(tempfile.mkdtemp(prefix="spikecheck-postgresql-"))
    try:
        account = _account(folder)
        data = folder / "data"
        _make_cluster(programs, data, account)
        process, port = _started(programs, data, account)
        try:
            yield PostgresqlServer(port, process, int((data / "PG_VERSION").read_text()))
        finally:
            _stop(process)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _version(folder: Path) -> tuple[int, ...]:
    return tuple(int(part) for part in re.findall(r"\d+", folder.parent.name))


def _has_server(folder: Path) -> bool:
    return all((folder / name).is_file() for name in ("initdb", "postgres"))


def _account(folder: Path) -> dict[str, Any]:
    """What to start the server's programs with so that they do not run as root."""
    if os.geteuid() != 0:
        return {}
    for name in ("postgres", "nobody"):
        with suppress(KeyError):
            entry = pwd.getpwnam(name)
            os.chown(folder, entry.pw_uid, entry.pw_gid)
            return {"user": entry.pw_uid, "group": entry.pw_gid, "extra_groups": []}
    raise RuntimeError("neither a user postgres nor a user nobody to run the server as")


def _environment() -> dict[str, str]:
    kept = {name: os.environ[name] for name in ("PATH", "LD_LIBRARY_PATH") if name in os.environ}
    return {**kept, "LC_ALL": "C.UTF-8", "TZ": "UTC"}


def _make_cluster(programs: Path, data: Path, account: dict[str, Any]) -> None:
    password = data.parent / "password"
    password.write_text(PASSWORD)
    if account:
        os.chown(password, account["user"], account["group"])
    done = subprocess.run(
        [
            programs / "initdb", "--pgdata", data, "--username", USER, "--pwfile", password,
            "--auth", "scram-sha-256", "--encoding", "UTF8", "--locale", "C.UTF-8",
            "--no-sync", "--no-instructions",
        ],
        capture_output=True, text=True, check=False, cwd=data.parent, env=_environment(),
        timeout=_START_S, **account,
    )  # fmt: skip
    if done.returncode:
        raise RuntimeError(f"initdb failed: {done.stdout}{done.stderr}")


def _started(
    programs: Path, data: Path, account: dict[str, Any]
) -> tuple[subprocess.Popen[bytes], int]:
    log = data.parent / "log"
    for _ in range(_TRIES):  # another program may take the port before the server does
        port = free_port()
        settings = [f"--{name}={value}" for name, value in (_SETTINGS | {"port": port}).items()]
        with log.open("wb") as out:
            process = subprocess.Popen(
                [
                    "/bin/sh", "-c", _UNTIL_PIPE_CLOSES, "server",
                    programs / "postgres", "-D", data, *settings,
                ],
                stdin=subprocess.PIPE, stdout=out, stderr=out, cwd=data.parent,
                env=_environment(), start_new_session=True, **account,
            )  # fmt: skip
        if _is_up(process, data / "postmaster.pid"):
            return process, port
        _stop(process)
    raise RuntimeError(f"the server did not start: {log.read_text(errors='replace')}")


def _is_up(process: subprocess.Popen[bytes], told: Path) -> bool:
    """Wait for the line by which the server says that it takes connections."""
    end = time.monotonic() + _START_S
    while time.monotonic() < end and process.poll() is None:
        if told.is_file() and told.read_text().rstrip().endswith("\nready"):
            return True
        time.sleep(0.02)
    return False


def _stop(process: subprocess.Popen[bytes]) -> None:
    assert process.stdin is not None
    process.stdin.close()
    try:
        process.wait(_STOP_S)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
