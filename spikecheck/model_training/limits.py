"""Chooses limits on the scores of photos."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

_FEWEST = 5  # photos with and without something: fewer say nothing of a limit
_OUTER = 0.1  # share of each kind that may lie beyond the place it is represented by
_SURE = 1e-9  # probabilities nearer to 0 or 1 are taken for this


def midway_limit(p: NDArray[np.float64], there: NDArray[np.bool_]) -> float | None:
    """Return the limit midway between photos with something and photos without, or None.

    In logits it lies in the middle between the value that nine tenths of the photos with it lie
    above and the value that nine tenths of those without it lie below. So it does not
    hang on single photos, as the limit with the fewest mistakes on few photos would. Where there is
    a gap between both kinds, no more than a tenth of either ends on the wrong side. Own choice.

    Parameters
    ----------
    p
        float64 of shape (n,): probability that it is there.
    there
        bool of shape (n,): whether it is. None comes back for fewer than five of either kind.
    """
    if min(int(there.sum()), int((~there).sum())) < _FEWEST:
        return None
    from scipy.special import expit, logit

    logits = logit(np.clip(p, _SURE, 1 - _SURE))
    low = np.quantile(logits[there], _OUTER)
    high = np.quantile(logits[~there], 1 - _OUTER)
    return float(expit((low + high) / 2))


def upper_quantile(values: NDArray[np.float64], share: float) -> float | None:
    """Return the value that a further one stays under with probability ``share``, or None.

    The ``ceil((n + 1) * share)``-th smallest of n, exact for exchangeable values; None when n is
    too small for it.
    """
    rank = math.ceil((len(values) + 1) * share)
    return float(np.sort(values)[rank - 1]) if 0 < rank <= len(values) else None
