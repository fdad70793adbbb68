"""`app`: what is served to whom; the page itself is tested in tests/app."""

from __future__ import annotations

import os
import signal
import socket
import ssl
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from spikecheck.cli import serving as room
from tests.free_port import free_port
from tests.passwords import PASSWORD


@pytest.fixture
def started(monkeypatch):
    """Remember what would be served instead of serving it."""
    calls = []
    monkeypatch.setattr(room, "_serve", lambda *args: calls.append(args) or 0)
    return calls


def test_only_this_machine_is_served_unless_asked(folder, run, started):
    port = free_port()
    done = run("app", "--port", port)
    assert done.code == 0
    assert done.out == f"Open http://127.0.0.1:{port} in a browser. Stop with Ctrl-C.\n"
    ((command, _),) = started
    assert command[:4] == [sys.executable, "-m", "streamlit", "run"]
    assert Path(command[4]).name == "server.py"
    assert Path(command[4]).with_name("streamlit_app.py").is_file()
    assert {"--server.address=127.0.0.1", f"--server.port={port}", "--server.headless=true",
            "--browser.gatherUsageStats=false"} < set(command)  # fmt: skip


@pytest.fixture
def supervisor(folder, run):
    """A supervisor with a password, in the people file beside the records."""
    assert add_supervisor(run).code == 0


def add_supervisor(run, *more):
    words = more or ["--password-from-input"]
    return run("people", "add", "Ines", "--role", "supervisor", *words, typed=f"{PASSWORD}\n")


def test_the_network_is_not_served_while_nobody_can_sign_in(folder, run, started):
    done = run("app", "--lan", "--port", free_port())
    assert done.code == 2
    assert done.err == (
        "spikecheck: nobody can sign in yet, so the network is not served. "
        "Add a supervisor first: spikecheck people add NAME --role supervisor\n"
    )
    assert started == []


def test_the_network_is_served_with_a_caution(supervisor, run, started):
    done = run("app", "--lan", "--port", free_port())
    assert "whoever is in the people file can sign in from there" in done.out
    assert "without a certificate, passwords and photos cross this network in clear" in done.out
    assert "In the network: http://" in done.out
    assert "--server.address=0.0.0.0" in started[0][0]


def test_an_identity_counts_where_a_provider_is_set_up(folder, run, started, monkeypatch):
    monkeypatch.setenv("HOME", str(folder))
    identity = ["--issuer", "https://people.example", "--email", "ines@example.org"]
    assert add_supervisor(run, *identity).code == 0
    done = run("app", "--lan", "--port", free_port())
    assert "no supervisor has a password, and no OpenID Connect provider is set up" in done.err
    (folder / ".streamlit").mkdir()
    (folder / ".streamlit" / "secrets.toml").write_text('[auth]\nclient_id = "x"\n')
    assert run("app", "--lan", "--port", free_port()).code == 0
    assert len(started) == 1


def test_a_mistyped_people_file_opens_nothing(folder, run, started, monkeypatch):
    monkeypatch.setenv("SPIKECHECK_PEOPLE", str(folder / "poeple.json"))
    done = run("app", "--lan", "--port", free_port())
    assert "the people file is not there. Mend SPIKECHECK_PEOPLE" in done.err
    assert started == []


@pytest.fixture
def certificate(folder):
    """A certificate of this machine that nobody has signed but itself, and its key."""
    from tests.certificates import write_certificate

    return write_certificate(folder)


def test_with_a_certificate_the_page_is_served_by_https(supervisor, certificate, run, started):
    pem, key = certificate
    done = run("app", "--lan", "--port", free_port(), "--certificate", pem, "--key", key)
    assert "https://127.0.0.1" in done.out
    assert "in clear" not in done.out
    assert {f"--server.sslCertFile={pem}", f"--server.sslKeyFile={key}"} < set(started[0][0])


def test_a_certificate_that_cannot_be_used_is_one_line(certificate, run, started):
    pem, key = certificate
    alone = run("app", "--port", free_port(), "--certificate", pem)
    assert "a certificate and its key go together" in alone.err
    swapped = run("app", "--port", free_port(), "--certificate", key, "--key", pem)
    assert "the certificate and its key cannot be used" in swapped.err
    missing = run("app", "--port", free_port(), "--certificate", "none.pem", "--key", key)
    assert "cannot be used (No such file or directory)" in missing.err
    assert started == []


def test_the_records_are_handed_on(run, started, monkeypatch):
    monkeypatch.setenv("SPIKECHECK_STORE", "elsewhere")
    run("app", "--port", free_port())
    run("app", "--port", free_port(), "--store", "here")
    assert [environment["SPIKECHECK_STORE"] for _, environment in started] == ["elsewhere", "here"]


def test_photos_and_numbers_of_practice_are_handed_on(run, started, tmp_path, monkeypatch):
    monkeypatch.delenv("SPIKECHECK_PRACTICE_FOLDERS", raising=False)
    numbers = tmp_path / "numbers.toml"
    numbers.write_text("viewing_s = 15", encoding="utf-8")
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
    run("app", "--port", free_port())
    run(
        "app", "--port", free_port(), "--practice-numbers", numbers,
        "--practice", tmp_path / "a", "--practice", tmp_path / "b",
    )  # fmt: skip
    (_, without), (_, given) = started
    assert "SPIKECHECK_PRACTICE_FOLDERS" not in without
    folders = given["SPIKECHECK_PRACTICE_FOLDERS"].split(os.pathsep)
    assert folders == [str(tmp_path / "a"), str(tmp_path / "b")]
    assert given["SPIKECHECK_PRACTICE_NUMBERS"] == str(numbers)


def test_practice_that_cannot_be_is_told_before_anything_is_served(run, started, tmp_path):
    numbers = tmp_path / "numbers.toml"
    numbers.write_text("viewing_s = 0", encoding="utf-8")
    for words, why in (
        (("--practice", tmp_path / "none"), "no such folder"),
        (("--practice-numbers", numbers), "viewing_s < block_s"),
    ):
        done = run("app", "--port", free_port(), *words)
        assert done.code == 2
        assert why in done.err
    assert started == []


def test_a_busy_port_is_one_line(run, started):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        done = run("app", "--port", port)
    assert done.code == 2
    assert done.err == (
        f"spikecheck: port {port} cannot be used (Address already in use). "
        "Name another after --port, or stop what uses it\n"
    )
    assert started == []


@pytest.mark.parametrize("port", ["0", "65536", "web"])
def test_a_port_out_of_range_is_a_usage_error(run, started, port):
    assert run("app", "--port", port).code == 2


def test_a_page_that_fails_is_told(run, monkeypatch):
    monkeypatch.setattr(room, "_serve", lambda *_: 3)
    done = run("app", "--port", free_port())
    assert done.code == 2
    assert "the page stopped with code 3" in done.err


def test_without_a_network_the_machine_is_named(monkeypatch):
    class NoRoute(socket.socket):
        def connect(self, *_):
            raise OSError(101, "Network is unreachable")

    monkeypatch.setattr(socket, "socket", NoRoute)
    assert room.own_address() == socket.gethostname()


@pytest.mark.parametrize(
    ("send", "code"),
    [
        (lambda pid: os.killpg(pid, signal.SIGINT), 130),  # a terminal tells the whole group
        (lambda pid: os.kill(pid, signal.SIGTERM), 143),
    ],
    ids=["ctrl-c", "terminate"],
)
def test_the_page_is_served_and_nothing_of_it_stays(folder, send, code):
    port = free_port()
    main = "from spikecheck.cli import main; main()"
    with subprocess.Popen(
        [sys.executable, "-c", main, "app", "--port", str(port)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True,
    ) as served:  # fmt: skip
        deadline = time.monotonic() + 60
        answer = b""
        while time.monotonic() < deadline and not answer:
            try:
                with urllib.request.urlopen(f"http://127.0.0.1:{port}/_stcore/health") as page:
                    answer = page.read()
            except OSError:
                time.sleep(0.1)
        send(served.pid)
        _, errors = served.communicate(timeout=30)
    assert answer == b"ok"
    assert served.returncode == code
    assert code != 130 or errors.splitlines()[-1] == "spikecheck: stopped"
    with socket.socket() as probe:
        assert probe.connect_ex(("127.0.0.1", port)) != 0


def test_with_a_certificate_the_page_answers_by_https_alone(supervisor, certificate):
    pem, key = certificate
    port = free_port()
    words = ["app", "--lan", "--port", str(port), "--certificate", str(pem), "--key", str(key)]
    main = "from spikecheck.cli import main; main()"
    trusting = ssl.create_default_context(cafile=str(pem))
    with subprocess.Popen(
        [sys.executable, "-c", main, *words], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    ) as served:
        deadline = time.monotonic() + 60
        answer = b""
        while time.monotonic() < deadline and not answer:
            try:
                address = f"https://127.0.0.1:{port}/_stcore/health"
                with urllib.request.urlopen(address, context=trusting) as page:
                    answer = page.read()
            except OSError:
                time.sleep(0.1)
        with pytest.raises(OSError):  # noqa: PT011  (closed, or no HTTP: either is fine)
            urllib.request.urlopen(f"http://127.0.0.1:{port}/_stcore/health", timeout=10)
        served.terminate()
        served.wait(30)
    assert answer == b"ok"
