"""Networks that know colours only, so that a test paints what they see.

Each is one strided convolution that averages 4 x 4 px and weighs red, green and blue: with black
pictures on which the spike is green, floret centres are red spots and anthers are blue spots, the
maps are known. Everything else a test sets as constants.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

import numpy as np
import pytest

if TYPE_CHECKING:
    from pathlib import Path

RED, GREEN, BLUE = range(3)
STEEP = 24.0  # logit from -12 to 12 as a colour goes from 0 to 1

OVERVIEW_TUNED = {
    "spike_least": 0.5, "other_least": 0.5, "spike_close_least": 0.5, "several_least": 0.5,
    "cut_off_least": 0.5, "occluded_least": 0.5, "not_prepared_least": 0.5, "blurred_least": 0.5,
    "scale_widening": 2.0, "strangeness_most": 10.0,
}  # fmt: skip
FLORETS_TUNED = {
    "floret_least": 0.3, "anther_least": 0.1, "anther_pixel_least": 0.5, "clipped_least": 0.5,
    "clipped_least_if_unprepared": 0.99, "near_anthesis_least": 0.5, "broken_least": 0.5,
    "strangeness_most": 10.0,
}  # fmt: skip
CALIBRATION = {
    "name": "painted pictures", "pass_score_most": 0.2, "spikes": 199, "passed": 1, "alpha": 0.01,
    "bound": 0.01, "sha256": "ab" * 32, "floret_a": 1.0, "floret_b": 0.0, "anther_a": 0.5,
    "anther_b": 1.0,
}  # fmt: skip


def save_overview(
    folder: Path,
    *,
    px_per_mm_in_square: float,
    tip: tuple[float, float] = (-1.0, 0.0),
    whole: tuple[float, ...] = (9.0, -9.0, -9.0, -9.0, -9.0),
    strangeness: float = 1.0,
    version: str = "1",
) -> None:
    """Save a network that takes green for the spike in focus and red for another spike."""
    weights, bias = np.zeros((6, 3)), np.zeros(6)
    weights[0], bias[0] = (-STEEP, STEEP, 0), -STEEP / 2
    weights[1], bias[1] = (STEEP, -STEEP, 0), -STEEP / 2
    bias[2:] = np.log(px_per_mm_in_square), np.log(0.1**2), *tip
    constants = {"globals": np.array([*whole, 0, 0, 0]), "strangeness": np.array([strangeness])}
    _save(folder / "overview" / version, weights, bias, constants)
    _write_manifest(folder, "overview", version, tuned=OVERVIEW_TUNED, outputs=["maps", *constants])


def save_florets(
    folder: Path,
    *,
    constants: dict[int, float] | None = None,
    strangeness: float = 1.0,
    version: str = "1",
    tuned: dict[str, float] | None = None,
) -> None:
    """Save a network that sees red floret centres, blue anthers and green spike."""
    weights, bias = np.zeros((20, 3)), np.zeros(20)
    weights[1, GREEN], bias[1] = STEEP, -STEEP / 2
    bias[2] = -STEEP
    weights[3, BLUE], bias[3] = STEEP, -STEEP / 2
    bias[4], weights[6, BLUE], bias[6] = 0.0, STEEP, -STEEP / 2
    bias[[5, 7]] = -STEEP
    bias[[8, 9]] = 3.0, -3.0
    bias[[10, 11]] = np.log([2.0, 0.8])
    weights[12, RED], bias[12] = STEEP, -STEEP / 2
    bias[[13, 14]] = 4.0, 3.0
    bias[[15, 16]] = np.log([3.0, 2.0])
    weights[17, BLUE], bias[17] = STEEP, -STEEP / 2
    weights[18, GREEN], bias[18] = STEEP, -STEEP / 2  # a floret on green stands on the left
    bias[19] = -STEEP
    for channel, value in (constants or {}).items():
        weights[channel], bias[channel] = 0, value
    _save(folder / "florets" / version, weights, bias, {"strangeness": np.array([strangeness])})
    _write_manifest(
        folder,
        "florets",
        version,
        tuned=tuned or FLORETS_TUNED,
        outputs=["maps", "strangeness"],
        calibration=CALIBRATION,
    )


def _save(place: Path, weights: np.ndarray, bias: np.ndarray, constants: dict) -> None:
    onnx = pytest.importorskip("onnx", reason="making networks needs the extra 'train'")
    helper, floats = onnx.helper, onnx.TensorProto.FLOAT

    def tensor(name: str, values: np.ndarray):
        return onnx.numpy_helper.from_array(values.astype(np.float32), name)

    kernel = np.repeat(np.repeat(weights[:, :, None, None] / 16, 4, axis=2), 4, axis=3)
    nodes = [helper.make_node("Conv", ["images", "kernel", "bias"], ["maps"], strides=[4, 4])]
    for name, values in constants.items():
        value = tensor(f"{name}_value", values[None])
        nodes.append(helper.make_node("Constant", [], [name], value=value))
    outputs = [helper.make_tensor_value_info("maps", floats, ["n", len(bias), "h", "w"])]
    outputs += [
        helper.make_tensor_value_info(name, floats, [1, len(values)])
        for name, values in constants.items()
    ]
    graph = helper.make_graph(
        nodes, "colours",
        [helper.make_tensor_value_info("images", floats, ["n", 3, "rows", "columns"])],
        outputs, [tensor("kernel", kernel), tensor("bias", bias)],
    )  # fmt: skip
    model = helper.make_model(graph, opset_imports=[helper.make_opsetid("", 17)], ir_version=9)
    place.mkdir(parents=True)
    onnx.save(model, str(place / "model.onnx"))


def _write_manifest(folder, task, version, *, tuned, outputs, calibration=None) -> None:
    place = folder / task / version
    digest = hashlib.sha256((place / "model.onnx").read_bytes()).hexdigest()
    (place / "model.toml").write_text(
        manifest_text(task, version, digest, outputs=outputs, tuned=tuned, calibration=calibration),
        encoding="utf-8",
    )


def manifest_text(
    task: str = "florets",
    version: str = "1",
    sha256: str = "0" * 64,
    *,
    outputs: list[str] | None = None,
    tuned: dict[str, float] | None = None,
    calibration: dict | None = None,
) -> str:
    """A manifest as TOML."""
    lines = [
        f'task = "{task}"', f'version = "{version}"', f'sha256 = "{sha256}"',
        f"outputs = {(outputs or ['maps', 'strangeness'])!r}",
        "[input]", "channels = 3", "[training]", "seed = 1", "[metrics]",
        *_table("tuned", FLORETS_TUNED if tuned is None else tuned),
        *(() if calibration is None else _table("calibration", calibration)),
    ]  # fmt: skip
    return "\n".join(lines) + "\n"


def _table(name: str, entries: dict) -> list[str]:
    return [
        f"[{name}]", *(f"{key} = {value!r}" for key, value in entries.items())
    ]  # fmt: skip
