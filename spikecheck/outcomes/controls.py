"""How many control florets it takes to show that selfing is rare."""

from __future__ import annotations

from spikecheck.errors import UsageError

MOST_FLORETS = 10_000_000


def controls_needed(
    bound: float, confidence: float = 0.95, *, seen: int = 0, florets: int = 0
) -> int:  # fmt: skip
    """Return how many more control florets, all without seed, show selfing of ``bound`` at most.

    It is shown when the exact one-sided upper limit is not above the bound: with no seed seen,
    after ``log(1 - confidence) / log(1 - bound)`` florets, 59 for 5 % and 299 for 1 %.

    Parameters
    ----------
    bound
        The share to show, above 0 and below 1.
    confidence
        One-sided, above 0 and below 1.
    seen, florets
        Seeds seen so far in so many control florets.

    Returns
    -------
    int
        0 when it is shown already.

    Raises
    ------
    UsageError
        If a number is out of range, or more than ten million florets would be needed.
    """
    if not (0 < bound < 1 and 0 < confidence < 1):
        raise UsageError(
            f"bound and confidence lie between 0 and 1, got {bound} and {confidence}",
            cure="Write 5 % as 0.05",
        )
    if not 0 <= seen <= florets and not (florets == 0 and seen >= 0):
        raise UsageError(f"{seen} seeds cannot come from {florets} florets")
    from scipy.stats import binom

    def shown(total: int) -> bool:
        return bool(binom.cdf(seen, total, bound) <= 1 - confidence)

    low, high = max(seen, florets), max(1, seen, florets)
    if low and shown(low):
        return max(low - florets, 0)
    while not shown(high):
        low, high = high, high * 2
        if low > MOST_FLORETS:
            raise UsageError(
                f"selfing of at most {bound:g} cannot be shown with {MOST_FLORETS} florets",
                cure="Take a larger bound",
            )
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if shown(middle) else (middle, high)
    return high - florets
