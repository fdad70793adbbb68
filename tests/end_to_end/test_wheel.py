"""The wheel works alone: built, installed into a new environment, run from an empty folder."""

from __future__ import annotations

import json
import shutil
import signal
import subprocess
import sys
import time
import urllib.request
import zipfile
from pathlib import Path

import jsonschema
import pytest

from spikecheck import __version__
from spikecheck.cli.demo import demo_photos
from spikecheck.pipeline import result_schema
from tests.end_to_end.new_environment import NewEnvironment
from tests.free_port import free_port
from tests.house.repository import ROOT, tracked_files

pytestmark = pytest.mark.slow_install

LARGEST_WHEEL_MB = 16
MB = 1_000_000
ONLY_IN_A_CLONE = (
    "spikecheck/model_training", "spikecheck/synthetic/compose", "spikecheck/synthetic/solid",
)  # fmt: skip
BUNDLED = ("app", "models", "synthetic_images")
STRAYS = ("app/__pycache__/stray.pyc", "spikecheck/__pycache__/stray.pyc", "dist/stray.txt")
START_S = 60


@pytest.fixture(scope="module")
def source(tmp_path_factory) -> Path:
    """The tracked files, with what lies about in a folder that was worked in."""
    folder = tmp_path_factory.mktemp("source")
    for path in tracked_files():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / path, folder / path)
    for stray in STRAYS:
        (folder / stray).parent.mkdir(exist_ok=True)
        (folder / stray).write_bytes(b"stray")
    return folder


@pytest.fixture(scope="module")
def wheel(source, tmp_path_factory) -> Path:
    """The wheel, built from the source archive, built from the tracked files."""
    folder = tmp_path_factory.mktemp("built")
    build = [sys.executable, "-m", "build", "--no-isolation", "--outdir", folder, source]
    built = subprocess.run(build, check=False, capture_output=True, text=True)
    assert built.returncode == 0, built.stdout + built.stderr
    (archive,) = folder.glob("*.tar.gz")
    assert archive.name == f"spikecheck-{__version__}.tar.gz"
    (file,) = folder.glob("*.whl")
    return file


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory) -> NewEnvironment:
    return NewEnvironment(tmp_path_factory.mktemp("environment") / "venv", wheel)


def test_the_wheel_holds_what_belongs_in_it_and_nothing_else(wheel):
    expected = {
        str(path) if path.parts[0] == "spikecheck" else f"spikecheck/_bundled/{path}"
        for path in tracked_files()
        if path.parts[0] in {"spikecheck", "app", "models"}
        and not any(path.is_relative_to(room) for room in ONLY_IN_A_CLONE)
    }
    for photo, _ in demo_photos():  # of the demo set no more than is shown
        place = f"spikecheck/_bundled/synthetic_images/demo/{photo.stem}"
        expected |= {f"{place}.jpg", f"{place}.json"}
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
    own = {name for name in names if name.startswith("spikecheck/")}
    assert own == expected
    assert {Path(name).parts[0] for name in names - own} == {
        f"spikecheck-{__version__}.dist-info"
    }  # fmt: skip
    assert wheel.stat().st_size < LARGEST_WHEEL_MB * MB


def test_the_wheel_tells_nothing_of_the_machine_that_built_it(wheel, source):
    places = {str(place).encode() for place in (ROOT, source, sys.prefix, wheel.parent)}
    with zipfile.ZipFile(wheel) as archive:
        telling = [
            name
            for name in archive.namelist()
            if any(place in archive.read(name) for place in places)
        ]
    assert telling == []


def test_everything_is_found_inside_the_environment(installed, tmp_path):
    program = f"""
import importlib.util, json, sys
import spikecheck
from spikecheck.bundled import bundled_folder
print(json.dumps({{
    "package": spikecheck.__file__,
    "path": sys.path,
    "undeclared": importlib.util.find_spec("pytest") is not None,
    "folders": {{name: str(bundled_folder(name)) for name in {BUNDLED}}},
}}))
"""
    done = installed.run(installed.python, "-I", "-c", program, cwd=tmp_path)
    assert (done.code, done.err) == (0, "")
    told = json.loads(done.out)
    site = installed.site.resolve()
    assert not told["undeclared"], "the environment holds more than the wheel says it needs"
    assert Path(told["package"]).is_relative_to(site)
    assert all(Path(folder).is_relative_to(site) for folder in told["folders"].values())
    for name, file in [
        ("app", "streamlit_app.py"), ("models", "README.md"), ("synthetic_images", "demo"),
    ]:  # fmt: skip
        assert (Path(told["folders"][name]) / file).exists()
    places = (ROOT, Path(sys.prefix))
    assert not [path for path in told["path"] if any(map(Path(path).is_relative_to, places))]


def test_the_command_tells_its_version_and_shows_the_demo(installed, tmp_path):
    version = installed.run(installed.command, "--version", cwd=tmp_path)
    assert (version.code, version.out) == (0, f"spikecheck {__version__}\n")
    demo = installed.run(installed.command, "demo", cwd=tmp_path)
    assert (demo.code, demo.err) == (0, "")
    verdicts = [line.split(":")[0] for line in demo.out.splitlines()]
    answers = [word for word in verdicts if word in {"PASS", "REVIEW"}]
    assert len(answers) == 2
    assert answers[1] == "REVIEW"  # the photo with a leftover
    assert len(list(tmp_path.glob("spikecheck_demo/*.overlay.jpg"))) == 2


def test_a_photo_is_checked_and_recorded_in_a_new_store(installed, tmp_path):
    leftover = next((ROOT / "synthetic_images" / "demo").glob("leftover_yellow*.jpg"))
    shutil.copy(leftover, tmp_path / "spike.jpg")

    def spikecheck(*words: object):
        return installed.run(installed.command, *words, "--store", "records", cwd=tmp_path)

    added = spikecheck("cross", "add", "C-014", "--female", "L12", "--male", "L31")
    assert added.code == 0, added.err
    check = ("check", "spike.jpg", "--cross", "C-014", "--spike", 3, "--by", "AB", "--json")
    done = spikecheck(*check)
    assert done.code == 1, done.err
    entry = json.loads(done.out)
    jsonschema.Draft202012Validator(result_schema()).validate(entry)
    assert entry["verdict"] == "review"
    assert "by AB (spike.jpg)" in spikecheck("cross", "show", "C-014").out


def test_the_page_runs_without_an_exception(installed, tmp_path):
    program = """
from streamlit.testing.v1 import AppTest
from spikecheck.bundled import bundled_folder
page = AppTest.from_file(str(bundled_folder("app") / "streamlit_app.py"), default_timeout=60).run()
print([each.message for each in page.exception], len(page.main))
"""
    done = installed.run(installed.python, "-I", "-c", program, cwd=tmp_path)
    assert done.code == 0, done.err
    raised, parts = done.out.splitlines()[-1].rsplit(maxsplit=1)
    assert raised == "[]"
    assert int(parts) > 0


def test_the_page_is_served(installed, tmp_path):
    port = free_port()
    with subprocess.Popen(
        [installed.command, "app", "--port", str(port)],
        cwd=tmp_path, env=installed.variables(tmp_path), text=True,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    ) as served:  # fmt: skip
        answer = health(port, served)
        served.send_signal(signal.SIGTERM)
        output, _ = served.communicate(timeout=30)
    assert answer == b"ok", output
    assert served.returncode == 128 + signal.SIGTERM


def health(port: int, served: subprocess.Popen[str]) -> bytes:
    """What the served page says of its health; nothing when it does not come up."""
    end = time.monotonic() + START_S
    while time.monotonic() < end and served.poll() is None:
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/_stcore/health") as page:
                return page.read()
        except OSError:
            time.sleep(0.1)
    return b""
