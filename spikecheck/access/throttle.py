"""Slows down whoever guesses passwords: for one name, and over all names."""

from __future__ import annotations

import math
import time
from collections import deque
from typing import TYPE_CHECKING

from spikecheck.errors import AccessError
from spikecheck.language import _, ngettext

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.thresholds.access import AccessThresholds

_MINUTE_S = 60


class Throttle:
    """Counts wrong passwords, in the memory of one process.

    Whether a name exists makes no difference: names nobody has are counted alike. It keeps no
    threads apart: who asks sees to it that one try comes after the other.

    Parameters
    ----------
    numbers
        How many are free, and how long to wait then.
    clock
        Tells seconds that only ever grow.
    """

    def __init__(
        self, numbers: AccessThresholds, *, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._numbers = numbers
        self._clock = clock
        self._in_a_row: dict[str, tuple[int, float]] = {}
        self._everywhere: deque[float] = deque()

    def refuse_early(self, key: str) -> None:
        """Refuse a try that comes too early.

        Parameters
        ----------
        key
            What tells the name from others.

        Raises
        ------
        AccessError
            If one has to wait; it says for how long.
        """
        now = self._clock()
        self._forget(now)
        failures, last = self._in_a_row.get(key, (0, now))
        wait_s = last + self._wait_s(failures) - now
        if len(self._everywhere) >= self._numbers.failures_everywhere:
            wait_s = max(wait_s, self._everywhere[0] + self._numbers.failures_everywhere_s - now)
        if wait_s > 0:
            minutes = math.ceil(wait_s / _MINUTE_S)
            raise AccessError(
                _("too many wrong passwords were given"),
                cure=ngettext(
                    "Wait {n} minute, then try again", "Wait {n} minutes, then try again", minutes
                ).format(n=minutes),
            )

    def count(self, key: str, *, right: bool) -> None:
        """Count the outcome of a try; a right one lets the name begin anew."""
        now = self._clock()
        if right:
            self._in_a_row.pop(key, None)
            return
        failures, _last = self._in_a_row.get(key, (0, now))
        self._in_a_row[key] = failures + 1, now
        self._everywhere.append(now)

    def _wait_s(self, failures: int) -> float:
        beyond = failures - int(self._numbers.failures_free)
        if beyond < 0:
            return 0
        first_s, longest_s = self._numbers.wait_first_s, self._numbers.wait_longest_s
        doubled = min(beyond, math.ceil(math.log2(longest_s / first_s)))
        return float(min(first_s * 2**doubled, longest_s))

    def _forget(self, now: float) -> None:
        """Forget what decides nothing any more, so that names do not fill memory."""
        while self._everywhere and now - self._everywhere[0] >= self._numbers.failures_everywhere_s:
            self._everywhere.popleft()
        long_ago = now - self._numbers.failures_remembered_s
        for key in [one for one, (_n, last) in self._in_a_row.items() if last < long_ago]:
            del self._in_a_row[key]
