"""Numbers that stay on a device, so that a step asks the processor for nothing.

Making a tensor of numbers known to Python waits for the device each time, and cannot be part of a
recorded step.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import torch

if TYPE_CHECKING:
    from torch import Tensor


@lru_cache(maxsize=64)
def constant(values: tuple[float | tuple[float, ...], ...], device: torch.device) -> Tensor:
    """Return ``values`` as float32 on ``device``; the same tensor every time, not to be changed."""
    return torch.tensor(values, dtype=torch.float32, device=device)
