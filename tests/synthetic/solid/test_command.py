"""The command renders a range of seeds, goes on where it stopped and outlives a dead process."""

import json
import sys

import pytest

from spikecheck.synthetic.solid import crew as crews
from spikecheck.synthetic.solid.__main__ import main
from spikecheck.synthetic.solid.crew import Crew
from spikecheck.synthetic.solid.layer_set import Settings

HANGS = 4
# Answers each seed but 3 (dies), 4 (hangs); 5 dies in the first process that meets it.
STAND_IN = """
import json, os, sys, time
folder = sys.argv[1]
for line in sys.stdin:
    seed = int(line)
    if seed == 3:
        sys.exit(9)
    if seed == 4:
        time.sleep(60)
    if seed == 5 and not os.path.exists(folder + "/met"):
        open(folder + "/met", "w").close()
        sys.exit(1)
    print(json.dumps({"seed": seed, "gpu": os.environ.get("CUDA_VISIBLE_DEVICES")}), flush=True)
"""


@pytest.fixture
def crew(tmp_path, monkeypatch):
    """A crew whose processes run the stand-in."""
    start = crews.subprocess.Popen

    def stand_in(command, **options):
        return start([sys.executable, "-c", STAND_IN, command[3]], **options)

    ask = crews._ask

    def patient(process, seed, timeout_s):
        # All but the one that hangs answer, also where a process takes long to start.
        return ask(process, seed, timeout_s if seed == HANGS else 60)

    monkeypatch.setattr(crews.subprocess, "Popen", stand_in)
    monkeypatch.setattr(crews, "_ask", patient)
    return Crew(tmp_path, Settings(8, None), "auto", workers=2, gpus=("6", "7"), timeout_s=0.5)


def test_a_dead_or_hanging_process_costs_only_its_render(crew):
    done, failed = [], {}
    crew.render(range(8), done=done.append, failed=failed.__setitem__)
    assert sorted(entry["seed"] for entry in done) == [0, 1, 2, 5, 6, 7]
    assert failed == {3: "the renderer ended with code 9", 4: "took too long"}
    assert {entry["gpu"] for entry in done} <= {"6", "7"}


@pytest.mark.parametrize(
    ("seeds", "message"),
    [("5", "range such as"), ("5:5", "upwards"), ("a:b", "range such as"), ("-1:4", "upwards")],
)
def test_a_bad_range_is_told_in_one_line(seeds: str, message: str, tmp_path, capsys):
    assert main([str(tmp_path), f"--seeds={seeds}"]) == 2
    error = capsys.readouterr().err
    assert message in error
    assert error.count("\n") == 1


def test_what_is_there_is_not_rendered_again(tmp_path, capsys):
    pytest.importorskip("mitsuba", reason="the extra `render` is not installed")
    from spikecheck.errors import RenderError
    from spikecheck.synthetic.solid import engine

    try:
        engine.start()
    except RenderError as error:
        pytest.skip(str(error))
    small = ["--long-side", "80", "--samples", "1"]
    assert main([str(tmp_path), "--seeds", "40:41", *small]) == 0
    assert "1 of 1 rendered" in capsys.readouterr().err
    before = (tmp_path / "s0000040.layers.npz").stat().st_mtime_ns
    assert main([str(tmp_path), "--seeds", "40:41", *small]) == 0
    assert "1 of 1 are there" in capsys.readouterr().err
    assert (tmp_path / "s0000040.layers.npz").stat().st_mtime_ns == before
    manifest = json.loads((tmp_path / "manifest.json").read_text())
    assert [entry["seed"] for entry in manifest["layers"]] == [40]
    assert manifest["failed"] == {}
    assert main([str(tmp_path), "--seeds", "40:41", "--samples", "2"]) == 2
    assert "other settings" in capsys.readouterr().err
