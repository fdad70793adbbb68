"""Manifests: every fault gives one line that names the file and the entry."""

from __future__ import annotations

import math

import pytest

from spikecheck.errors import ModelError
from spikecheck.networks import FloretsTuned, LogitScaling, read_manifest
from tests.networks.colour_networks import CALIBRATION, FLORETS_TUNED, manifest_text

FAULTS = {
    "not valid TOML": ("[input]", "[input"),
    "text task": ('task = "florets"', "task = 3"),
    "text version": ('version = "1"', 'version = ""'),
    "64 hex digits": ('sha256 = "0', 'sha256 = "x'),
    "text sha256": ("sha256 =", "sha_256 ="),
    "outputs": ("outputs = ['maps', 'strangeness']", "outputs = []"),
    "[input]": ("[input]", "[inputs]"),
    "[training]": ("[training]", "[trainings]"),
    "[metrics]": ("[metrics]", "[metric]"),
    "[tuned]": ("[tuned]", "[tunes]"),
    "calibration is no table": ('task = "florets"', 'task = "florets"\ncalibration = 3'),
}


def written(folder, text: str):
    path = folder / "model.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_manifest_is_read_as_it_stands(tmp_path):
    path = written(tmp_path, manifest_text(sha256="0123456789abcdef" * 4))
    manifest = read_manifest(path)
    assert (manifest.task, manifest.version) == ("florets", "1")
    assert manifest.sha256 == "0123456789abcdef" * 4
    assert manifest.outputs == ("maps", "strangeness")
    assert manifest.training == {"seed": 1}
    assert manifest.numbers(FloretsTuned) == FloretsTuned(**FLORETS_TUNED)
    assert manifest.pass_limit() is None


@pytest.mark.parametrize("words", FAULTS)
def test_every_fault_is_one_line_that_names_file_and_entry(tmp_path, words):
    old, new = FAULTS[words]
    text = manifest_text()
    assert old in text
    path = written(tmp_path, text.replace(old, new, 1))
    with pytest.raises(ModelError) as caught:
        read_manifest(path)
    line = str(caught.value)
    assert words in line
    assert line.startswith(f"{path}: ")
    assert "\n" not in line


@pytest.mark.parametrize("make", ["absent", "no text"])
def test_a_file_that_is_absent_or_no_text_is_a_model_error(tmp_path, make):
    path = tmp_path / "model.toml"
    if make == "no text":
        path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(ModelError, match=r"cannot be read|valid TOML"):
        read_manifest(path)


@pytest.mark.parametrize("value", [None, "'high'", "true"])
def test_a_missing_or_wordy_number_is_named(tmp_path, value):
    tuned = {name: number for name, number in FLORETS_TUNED.items() if name != "anther_least"}
    text = manifest_text(tuned=tuned)
    if value is not None:
        text += f"anther_least = {value}\n"
    manifest = read_manifest(written(tmp_path, text))
    with pytest.raises(ModelError, match=r"\[tuned\] needs a number anther_least"):
        manifest.numbers(FloretsTuned)


def test_the_calibration_table_holds_pass_limit_and_scaling(tmp_path):
    manifest = read_manifest(written(tmp_path, manifest_text(calibration=CALIBRATION)))
    limit = manifest.pass_limit()
    assert (limit.name, limit.pass_score_most, limit.spikes) == ("painted pictures", 0.2, 199)
    scaling = manifest.numbers(LogitScaling, "calibration", prefix="anther_")
    assert scaling == LogitScaling(0.5, 1.0)


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [("bound", None, "lacks 'bound'"), ("alpha", 1.5, "0..1"), ("passed", 200, "passed <= spikes"),
     ("alpha", "small", "not understood")],
)  # fmt: skip
def test_a_calibration_that_cannot_be_is_a_model_error(tmp_path, name, value, words):
    table = {**CALIBRATION, name: value}
    if value is None:
        del table[name]
    manifest = read_manifest(written(tmp_path, manifest_text(calibration=table)))
    with pytest.raises(ModelError, match="calibration") as caught:
        manifest.pass_limit()
    assert words in str(caught.value)


def test_scaling_alone_is_no_pass_limit(tmp_path):
    table = {name: value for name, value in CALIBRATION.items() if name[-2:] in {"_a", "_b"}}
    assert len(table) == 4
    manifest = read_manifest(written(tmp_path, manifest_text(calibration=table)))
    assert manifest.pass_limit() is None


@pytest.mark.parametrize("logit", [-1000.0, -3.0, 0.0, 0.7, 1000.0])
def test_scaling_is_the_logistic_function(logit):
    scaling = LogitScaling(0.8, -0.3)
    wanted = 1 / (1 + math.exp(-max(-700, 0.8 * logit - 0.3)))
    assert scaling.probability(logit) == pytest.approx(wanted, abs=1e-12)
