"""Tests run side by side: one thread each, or they wait for one another."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True, scope="session")
def one_thread():
    try:
        import torch
    except ImportError:
        return
    torch.set_num_threads(1)


@pytest.fixture(scope="module")
def packed(tmp_path_factory):
    """A painted set, packed for fitting."""
    pytest.importorskip("torch")
    from spikecheck.model_training.pack import pack_set
    from tests.model_training.painted_set import paint_set

    folder = tmp_path_factory.mktemp("set")
    pack_set(paint_set(folder / "photos"), folder / "packed")
    return folder / "packed"


@pytest.fixture(scope="module")
def photos(packed):
    """The florets views of that set."""
    import torch

    from spikecheck.model_training.photo_set import load_sets

    return load_sets([packed], "florets", device=torch.device("cpu"))
