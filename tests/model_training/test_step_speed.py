"""The speed of steps is measured and told."""

from __future__ import annotations

import logging
import re

import pytest

torch = pytest.importorskip("torch")

from spikecheck.model_training import pack, step_speed  # noqa: E402
from spikecheck.model_training.task_florets import FloretsTask  # noqa: E402
from tests.model_training.painted_set import paint_set  # noqa: E402


def test_milliseconds_and_crops_of_each_batch_are_told(tmp_path, monkeypatch, caplog):
    pack.pack_set(paint_set(tmp_path / "photos"), tmp_path / "packed")
    monkeypatch.setitem(step_speed.TASKS, "florets", lambda: FloretsTask(32))
    with caplog.at_level(logging.INFO):
        step_speed.main([
            "florets", str(tmp_path / "packed"), "--device", "cpu", "--steps", "2",
            "--batch", "2", "4",
        ])  # fmt: skip
    told = [re.fullmatch(
        r"batch (\d), --graph none: ([\d.]+) ms a step \(([\d.]+) ms to launch it\), "
        r"(\d+) crops/s", record.message,
    ) for record in caplog.records]  # fmt: skip
    assert [match[1] for match in told] == ["2", "4"]
    for match in told:
        batch, ms, crops = int(match[1]), float(match[2]), int(match[4])
        # both are told rounded: to 0.1 ms and to whole crops
        assert batch * 1e3 / (ms + 0.05) - 0.5 <= crops <= batch * 1e3 / (ms - 0.05) + 0.5
