"""A store of an invented programme, and short ways to record in it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import count

from spikecheck.store import NewCheck, NewPhoto
from spikecheck.vocabulary import ModelIdentity, Step, Verdict

NOW = datetime(2026, 5, 20, 12, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
CUT = NOW - 10 * DAY
_MARKS = count()


def did(store, spike, detail, at=CUT, *, by="Ida", session="", note=""):
    """Record a step of spike ``C-1/spike`` and return the spike."""
    return store.spikes.add("C-1", spike, Step(detail, at, by, session, note))


def checked(store, spike, at, *, verdict=Verdict.PASS, near_anthesis=False, result="{}"):
    """File a check of spike ``C-1/spike`` with a photo of its own."""
    mark = f"{next(_MARKS)}".encode()
    photo = NewPhoto("a.jpg", b"\xff\xd8\xff" + mark, b"\x89PNG\r\n\x1a\n" + mark)
    check = NewCheck(
        verdict, result, ModelIdentity("invented", "1", "a" * 64), "b" * 64, "0.1", (photo,),
        near_anthesis,
    )  # fmt: skip
    return store.add_check(check, cross="C-1", spike=spike, by="Bo", at=at)
