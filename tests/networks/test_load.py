"""Networks are found, checked against their manifest, and run in any process and thread."""

from __future__ import annotations

import hashlib
import multiprocessing
import pickle
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor

import numpy as np
import pytest

from spikecheck.errors import ModelError
from spikecheck.networks import FLORETS, OVERVIEW, load_network, network_versions
from tests.networks.colour_networks import manifest_text, save_florets, save_overview


@pytest.fixture
def models(tmp_path):
    save_overview(tmp_path, px_per_mm_in_square=5.0)
    save_florets(tmp_path)
    return tmp_path


def image(level: float = 1.0, rows: int = 64) -> np.ndarray:
    picture = np.zeros((1, 3, rows, 32), np.float32)
    picture[:, 0] = level
    return picture


def summed(network) -> float:
    return float(network.run(image())["maps"].sum())


def test_maps_are_what_the_network_computes(models):
    given = load_network(FLORETS, folder=models).run(image(0.75))
    assert set(given) == {"maps", "strangeness"}
    assert given["maps"].shape == (1, 20, 16, 8)
    assert given["maps"].dtype == np.float32
    np.testing.assert_allclose(given["maps"][0, 12], 24 * 0.75 - 12, rtol=1e-5)
    assert given["strangeness"].shape == (1, 1)


def test_the_newest_version_is_the_highest_number(models):
    for version in ("2", "10", "9.3"):
        save_florets(models, version=version)
    (models / FLORETS / "draft").mkdir()
    (models / FLORETS / "draft" / "model.toml").write_text("", encoding="utf-8")
    assert network_versions(FLORETS, folder=models) == ("1", "2", "9.3", "10")
    assert load_network(FLORETS, folder=models).manifest.version == "10"
    assert load_network(FLORETS, "2", folder=models).manifest.version == "2"


def test_without_a_network_there_are_no_versions(tmp_path):
    assert network_versions(OVERVIEW, folder=tmp_path) == ()
    with pytest.raises(ModelError, match="no network for overview"):
        load_network(OVERVIEW, folder=tmp_path)


def test_an_altered_network_is_refused(models):
    path = models / FLORETS / "1" / "model.onnx"
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(bytes(data))
    with pytest.raises(ModelError, match="not the file its manifest tells of") as caught:
        load_network(FLORETS, folder=models)
    assert str(path) in str(caught.value)


def test_a_missing_network_is_refused(models):
    (models / FLORETS / "1" / "model.onnx").unlink()
    with pytest.raises(ModelError, match=r"model\.onnx: cannot be read"):
        load_network(FLORETS, folder=models)


def test_a_manifest_of_another_task_is_refused(models):
    (models / OVERVIEW / "2").mkdir()
    (models / FLORETS / "1" / "model.toml").rename(models / OVERVIEW / "2" / "model.toml")
    with pytest.raises(ModelError, match="tells of florets 1, not of overview 2"):
        load_network(OVERVIEW, folder=models)


def disguised(models, data: bytes, **manifest) -> None:
    """Replace the florets network, with a manifest that agrees."""
    place = models / FLORETS / "1"
    (place / "model.onnx").write_bytes(data)
    text = manifest_text(sha256=hashlib.sha256(data).hexdigest(), **manifest)
    (place / "model.toml").write_text(text, encoding="utf-8")


@pytest.mark.parametrize("data", [b"", b"no network at all", b"\x08\x01\x12\x00"])
def test_a_file_that_is_no_network_is_one_line(models, data):
    disguised(models, data)
    network = load_network(FLORETS, folder=models)
    with pytest.raises(ModelError, match=r"model\.onnx: cannot be run"):
        network.run(image())


def test_a_network_without_an_output_of_its_manifest_is_refused(models):
    data = (models / FLORETS / "1" / "model.onnx").read_bytes()
    disguised(models, data, outputs=["maps", "globals"])
    with pytest.raises(ModelError, match="does not give globals"):
        load_network(FLORETS, folder=models).run(image())


def test_an_image_the_network_cannot_take_is_a_model_error(models):
    with pytest.raises(ModelError, match="failed on an image of shape"):
        load_network(FLORETS, folder=models).run(np.zeros((1, 5, 32, 32), np.float32))


def test_answers_that_are_no_numbers_are_refused(models):
    with pytest.raises(ModelError, match="gives maps that are no numbers"):
        load_network(FLORETS, folder=models).run(image(np.nan))


def test_threads_share_a_session_and_agree(models):
    network = load_network(FLORETS, folder=models)
    with ThreadPoolExecutor(4) as pool:
        sums = set(pool.map(lambda _: summed(network), range(16)))
    assert sums == {summed(network)}


@pytest.mark.filterwarnings("ignore:This process:DeprecationWarning")  # said of forks since 3.12
@pytest.mark.parametrize("way", ["spawn", "fork"])
def test_a_network_travels_to_other_processes(models, way):
    if way not in multiprocessing.get_all_start_methods():
        pytest.skip(f"no {way} here")
    network = load_network(FLORETS, folder=models, threads=1)
    assert pickle.loads(pickle.dumps(network)).manifest.sha256 == network.manifest.sha256
    here = summed(network)  # a session is open here before the other process starts
    context = multiprocessing.get_context(way)
    with ProcessPoolExecutor(1, mp_context=context) as pool:
        there = pool.submit(summed, network).result(timeout=60)
    assert there == here
