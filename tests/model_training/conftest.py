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
