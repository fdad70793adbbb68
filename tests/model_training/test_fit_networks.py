"""Runs on a tiny painted set: they learn, stop, go on, and their export answers the same."""

from __future__ import annotations

import json
import os
import signal
import tomllib

import numpy as np
import pytest

torch = pytest.importorskip("torch")
pytest.importorskip("onnx")

from spikecheck.errors import TrainingError  # noqa: E402
from spikecheck.model_training import export, fit, fit_run  # noqa: E402
from spikecheck.model_training.fit_run import Budget  # noqa: E402
from spikecheck.model_training.run_files import (  # noqa: E402
    load_values,
    read_recipe,
    write_recipe,
)
from spikecheck.model_training.task_florets import FloretsTask  # noqa: E402
from spikecheck.networks import FloretsTuned, OverviewTuned, load_network  # noqa: E402
from tests.model_training.painted_set import paint_set  # noqa: E402

CPU = torch.device("cpu")
RECIPE = {"task": "florets", "seed": 1}
STEPS = 24


@pytest.fixture(scope="module")
def run(photos, tmp_path_factory):
    folder = tmp_path_factory.mktemp("runs") / "run"
    write_recipe(folder, RECIPE)
    before = fit._LOG_EVERY
    fit._LOG_EVERY = 4
    try:
        finished = fit.fit(
            FloretsTask(96), photos, photos, folder, Budget(steps=STEPS, measured=3), seed=1,
            batch=4,
        )  # fmt: skip
    finally:
        fit._LOG_EVERY = before
    assert finished
    return folder


def losses(folder):
    entries = [json.loads(line) for line in (folder / "log.jsonl").read_text().splitlines()]
    return [sum(entry["loss"].values()) for entry in entries if "loss" in entry]


def test_the_loss_falls(run):
    course = losses(run)
    assert len(course) == STEPS // 4
    assert np.mean(course[-2:]) < 0.6 * course[0]


def test_what_came_out_is_written_with_its_figures(run, photos):
    fitted = load_values(run / "fitted.pt")
    assert (fitted["step"], fitted["photos"]) == (STEPS, len(photos))
    assert fitted["set_sha256"] == photos.sha256
    assert fitted["figures"]["photos"] == 3
    assert fitted["figures"]["strangeness_999"] > 0


def test_the_export_answers_the_same_and_is_loaded_by_the_run_time(run, tmp_path):
    folder = tmp_path / "florets" / "1"
    assert export.export_run(run, folder) < 1e-3
    network = load_network("florets", "1", folder=tmp_path)
    given = network.run(np.zeros((1, 3, 64, 128), np.float32))
    assert given["maps"].shape == (1, 20, 16, 32)
    assert given["strangeness"].shape == (1, 1)
    assert network.manifest.training["seed"] == 1
    tuned = network.manifest.numbers(FloretsTuned)
    assert tuned.strangeness_most >= network.manifest.metrics["strangeness_999"]
    with pytest.raises(TrainingError, match="is there already"):
        export.export_run(run, folder)
    with pytest.raises(TrainingError, match="no folder for florets"):
        export.export_run(run, tmp_path / "overview" / "1")


def test_an_export_that_answers_otherwise_is_refused(run, tmp_path, monkeypatch):
    monkeypatch.setattr(export, "largest_difference", lambda *_: 0.01)
    with pytest.raises(TrainingError, match=r"off by 0\.01"):
        export.export_run(run, tmp_path / "florets" / "1")
    assert not (tmp_path / "florets" / "1" / "model.onnx").exists()


def test_a_stopped_run_goes_on_where_it_was(photos, tmp_path):
    class Stopping(FloretsTask):
        def loss(self, network, photos, index):
            if self.stop_at == 0:
                os.kill(os.getpid(), signal.SIGTERM)
            self.stop_at -= 1
            return super().loss(network, photos, index)

    before = signal.getsignal(signal.SIGTERM)
    task = Stopping(32)
    task.stop_at = 2
    budget = Budget(steps=5, measured=1)
    tmp_path.joinpath("run").mkdir()
    assert not fit.fit(task, photos, None, tmp_path / "run", budget, seed=1, batch=2)
    assert signal.getsignal(signal.SIGTERM) is before
    values = load_values(tmp_path / "run" / "checkpoint.pt")
    assert values["step"] == 3
    task.stop_at = 99
    assert fit.fit(task, photos, None, tmp_path / "run", budget, seed=1, batch=2)
    assert task.stop_at == 97  # two more steps, not five
    assert load_values(tmp_path / "run" / "fitted.pt")["step"] == 5


def test_a_loss_that_is_no_number_ends_the_run(photos, tmp_path, monkeypatch):
    class Broken(FloretsTask):
        def loss(self, network, photos, index):
            parts = super().loss(network, photos, index)
            return {name: part * torch.nan for name, part in parts.items()}

    monkeypatch.setattr(fit, "_LOG_EVERY", 1)
    with pytest.raises(TrainingError, match="no number at step 1"):
        fit.fit(Broken(32), photos, None, tmp_path, Budget(steps=3), seed=1, batch=2)


def test_fine_tuning_starts_from_the_averaged_weights_at_a_lower_rate(run, tmp_path):
    fresh = fit_run.Run(FloretsTask(32), tmp_path, CPU, 1, None)
    tuned = fit_run.Run(FloretsTask(32), tmp_path, CPU, 1, run)
    weights = load_values(run / "fitted.pt")["averaged"]["weights"]
    own = tuned.network.state_dict()
    assert all(torch.equal(own[name], value) for name, value in weights.items())
    assert tuned.peak < fresh.peak


def test_the_average_lags_behind_and_catches_up():
    from spikecheck.model_training.averaged import Averaged

    layer = torch.nn.Linear(2, 2)
    averaged = Averaged(layer)
    start = layer.weight.detach().clone()
    with torch.no_grad():
        layer.weight += 1
    for _ in range(4):
        averaged.update()
    moved = averaged.network.weight - start
    assert ((moved > 0) & (moved < 1)).all()
    for _ in range(4000):
        averaged.update()
    assert torch.allclose(averaged.network.weight, layer.weight, atol=0.01)


def test_a_budget_is_used_up_by_minutes_or_by_steps():
    assert Budget(minutes=2).gone(10**6, 60) == 0.5
    assert Budget(steps=10).gone(5, 10**6) == 0.5
    assert Budget(minutes=1).gone(0, 61) == 1
    rates = [fit_run._rate(gone) for gone in np.linspace(0, 1, 101)]
    assert max(rates) == pytest.approx(1)
    assert np.argmax(rates) == 5
    assert rates[-1] == pytest.approx(0.01)


def test_a_folder_keeps_to_its_recipe(tmp_path):
    write_recipe(tmp_path / "run", RECIPE)
    write_recipe(tmp_path / "run", RECIPE)
    with pytest.raises(TrainingError, match="another recipe"):
        write_recipe(tmp_path / "run", {**RECIPE, "seed": 2})
    with pytest.raises(TrainingError, match="holds no run"):
        read_recipe(tmp_path)


def test_the_command_packs_fits_and_exports_the_overview(tmp_path):
    photos = paint_set(tmp_path / "photos", count=4)
    fit.main([
        "overview", "--sets", str(photos), "--validate", str(photos), "--out",
        str(tmp_path / "run"), "--steps", "1", "--batch", "2", "--seed", "3", "--device", "cpu",
        "--leave-out", "light=sun", "--workers", "1",
    ])  # fmt: skip
    assert (photos / "packed" / "overview.npy").is_file()
    recipe = read_recipe(tmp_path / "run")
    assert (recipe["photos"], recipe["leave_out"], recipe["seed"]) == (3, ["light=sun"], 3)
    export.main([str(tmp_path / "run"), str(tmp_path / "models" / "overview" / "1")])
    network = load_network("overview", folder=tmp_path / "models")
    given = network.run(np.zeros((1, 3, 512, 512), np.float32))
    assert {name: value.shape for name, value in given.items()} == {
        "maps": (1, 6, 128, 128), "globals": (1, 8), "strangeness": (1, 1),
    }  # fmt: skip
    assert network.manifest.numbers(OverviewTuned).spike_least == 0.5
    manifest = tomllib.loads(network.manifest.path.read_text())
    assert json.loads(manifest["training"]["recipe"]) == recipe


@pytest.mark.parametrize("extra", [[], ["--steps", "1", "--minutes", "1"]])
def test_the_command_wants_one_budget(extra, tmp_path, capsys):
    with pytest.raises(SystemExit):
        fit.main(["florets", "--sets", str(tmp_path), "--out", str(tmp_path), *extra])
    assert "either --minutes or --steps" in capsys.readouterr().err
