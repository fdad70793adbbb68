"""The benchmarks run and measure what they say; how long things take is no test."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys

import pytest

from tests.benchmarks import gallery, processes, tag_study
from tests.house.repository import ROOT

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="read from /proc")

TINY = 900  # rows


def run(name: str, *options: object, tmp_path) -> tuple[dict, str]:
    """Run a benchmark as a user would; return its figures and what it printed."""
    file = tmp_path / "figures.json"
    done = subprocess.run(
        [sys.executable, "-m", f"tests.benchmarks.{name}", "--json", str(file), *map(str, options)],
        check=False, cwd=ROOT, capture_output=True, text=True, env={**os.environ, "COLUMNS": "120"},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    return json.loads(file.read_text()), done.stdout


def test_one_photo_goes_the_whole_way(tmp_path):
    figures, printed = run("one_photo", "--rows", TINY, "--repeats", 1, tmp_path=tmp_path)
    wall = figures["wall_ms"]
    assert all(len(samples) == 2 for samples in wall.values())
    for run_of_two in (0, 1):
        parts = sum(wall[stage][run_of_two] for stage in ("decode", "result", "overlay", "record"))
        assert 0 < parts <= wall["whole way"][run_of_two]
    assert figures["times_imdecode"]["wall_ms"] == wall["whole way"][1] / wall["cv2.imdecode"][1]
    assert figures["peak_mb"] >= figures["peak_mb_first"] > 0
    assert "900 x 675 px" in printed
    assert "whole way / cv2.imdecode" in printed


def test_starting_ends_where_the_photo_is_opened(tmp_path):
    figures, printed = run("starting", "--repeats", 1, tmp_path=tmp_path)
    wall = figures["wall_ms"]
    assert set(wall) == {
        "--help", "--version", "check --help", "check, until the photo is opened"
    }  # fmt: skip
    assert all(min(samples) > 0 for samples in wall.values())
    assert "check, until the photo is opened" in printed


def test_a_batch_is_watched_with_all_its_processes(tmp_path):
    figures, printed = run("batch_memory", "--photos", 2, "--rows", TINY, tmp_path=tmp_path)
    assert figures["processes"] >= 2  # the command and at least one worker
    assert (
        0
        < figures["peak_share_mb"]
        <= figures["peak_resident_mb"]
        <= figures["sum_of_own_peaks_mb"]
    )
    assert "Batch of 2 photos" in printed


def test_against_resnet_says_how_much_faster(tmp_path):
    pytest.importorskip("torch")
    figures, printed = run(
        "against_resnet", "--rows", TINY, "--repeats", 1, "--resnet-rows", 64, tmp_path=tmp_path
    )
    assert figures["times_faster"] == figures["resnet_ms"][0] / figures["whole_way_ms"][0]
    assert "lower bound" in printed
    assert "times faster (goal 7)" in printed


def test_the_network_compared_with_is_of_the_published_size():
    """torchvision's page of fasterrcnn_resnet50_fpn (COCO weights): 41755286 parameters.

    Its batch norms are frozen and not among them; here each is folded into a bias a channel.
    """
    pytest.importorskip("torch")
    from tests.benchmarks.resnet_fpn import ResNetFpn

    count = sum(values.numel() for values in ResNetFpn().parameters())
    channels = 64 + sum(
        blocks * 6 * width + 4 * width  # two of the width, one of four times it; one shortcut
        for blocks, width in zip((3, 4, 6, 3), (64, 128, 256, 512), strict=True)
    )
    assert count == 41_755_286 + channels


def test_the_study_of_tags_counts_what_was_read():
    figures = tag_study.measure({}, 2)
    assert figures["read"] == figures["scale"] == figures["colour"] == figures["seeds"] == 2
    assert figures["wrong"] == figures["beyond"] == 0
    assert len(tag_study.time_without_tag(1)) == 1


@pytest.mark.parametrize(
    "name", ["one_photo", "starting", "batch_memory", "against_resnet", "tag_study"]
)
def test_every_benchmark_explains_itself(name):
    done = subprocess.run(
        [sys.executable, "-m", f"tests.benchmarks.{name}", "--help"],
        check=False, cwd=ROOT, capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0
    assert "--json FILE" in done.stdout


def test_memory_of_a_process_and_of_its_children_is_seen():
    held = bytearray(50_000_000)
    mine = processes.memory_mb(os.getpid())
    assert mine["resident"] > len(held) / 1e6
    assert mine["peak"] >= mine["resident"]
    assert processes.peak_memory_mb() >= mine["resident"]
    with subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE) as child:
        tree = processes.tree_of(os.getpid())
        child.communicate(b"\n")
    assert {os.getpid(), child.pid} <= set(tree)
    assert processes.memory_mb(child.pid) == {}


def test_a_large_store_answers_from_its_indexes(tmp_path):
    figures, printed = run(
        "season", "--spikes", 400, "--open", 60, "--repeats", 1, "--rows", 50, tmp_path=tmp_path
    )
    assert figures["spikes"] == 400
    assert figures["entries"] > 3000
    for question in ("agenda", "a session's list", "one spike's page"):
        assert len(figures["wall_ms"][question]) == 2
        steps = figures["plans"][question]
        assert any("USING INDEX" in step for step in steps)
        # The few changes of numbers are read whole.
        assert [step for step in steps if step.startswith("SCAN")] in ([], ["SCAN season_changes"])
    assert figures["plans"]["one column of every spike"] == ["SCAN spike_states"]
    assert [one["rows"] for one in figures["intake"]] == [5, 50]
    assert "spike_states USING INDEX ix_spike_states_is_open" in printed


def test_a_gallery_is_turned_in_a_browser(tmp_path):
    if not any(map(shutil.which, gallery.BROWSERS)):
        pytest.skip("no headless browser is installed")
    figures, printed = run("gallery", "--spikes", 30, "--turns", 2, tmp_path=tmp_path)
    assert (figures["photos"], figures["thumbnails"]) == (60, 60)
    assert len(figures["turn_ms"]) == 2
    assert min(figures["turn_ms"]) > 0
    assert len(figures["rss_mib"]) == 3
    assert "first screen, no thumbnail made yet" in printed
