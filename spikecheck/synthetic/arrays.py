"""The array types of the generator: computing is in float32, sums may widen it on the way."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.floating[Any]]
Codes: TypeAlias = NDArray[np.int32]
Bytes: TypeAlias = NDArray[np.uint8]
