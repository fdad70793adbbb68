"""A moment until which something is to be done, told as exactly as it is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.language import _, day_and_time
from spikecheck.season.clock import WarmthBasis

if TYPE_CHECKING:
    from datetime import datetime, tzinfo


@dataclass(frozen=True, slots=True)
class Deadline:
    """A deadline.

    Parameters
    ----------
    at
        The moment that was reckoned, UTC.
    basis
        What it rests on, or None where temperature plays no part.
    """

    at: datetime
    basis: WarmthBasis | None

    def words(self, zone: tzinfo) -> str:
        """Return it in local time: to the minute only where temperature plays no part.

        Degree-days tell no minutes: it is the full hour before, since who comes early loses
        nothing. Where coming temperatures are expected or assumed, a few degrees move it by hours,
        and it is said to be about that.
        """
        local = self.at.astimezone(zone)
        if self.basis is None:
            return day_and_time(local)
        hour = day_and_time(local.replace(minute=0))
        if self.basis is WarmthBasis.MEASURED:
            return hour
        return _("about {moment}").format(moment=hour)
