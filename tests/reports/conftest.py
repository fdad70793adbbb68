"""A crossing session of an invented programme, with everything that can happen in one."""

from __future__ import annotations

import io
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest
from PIL import Image

from spikecheck.reports.contents import session_report
from spikecheck.reports.gathering import gather_session
from spikecheck.reports.small_pictures import make_small_pictures
from spikecheck.store import open_store
from spikecheck.store.records import NewCheck, NewPhoto
from spikecheck.vocabulary import CrossingSession, ModelIdentity, Step, Verdict
from spikecheck.vocabulary.steps import Bagged, Emasculated
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from spikecheck.reports.blocks import Report
    from spikecheck.store import Store

SESSION = "S-0504"
START = datetime(2026, 5, 4, 7, 0, tzinfo=UTC)
MADE = datetime(2026, 5, 5, 7, 30, tzinfo=UTC)
ZONE = ZoneInfo("Europe/Rome")
NASTY = (
    "<script>alert(1)</script> & \"q\" 'a' =1+1 \u05d0\u05d1 \u0645\u0631 \U0001f33e \u674e "
    + "x" * 90
)
"""A name that is markup, a formula, of several scripts, with a picture letter, and very long."""


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """Records without a session."""
    with open_store(str(tmp_path / "records")) as opened:
        yield opened


@pytest.fixture
def overlay() -> bytes:
    """A picture file."""
    file = io.BytesIO()
    Image.radial_gradient("L").convert("RGB").resize((300, 600)).save(file, "JPEG")
    return file.getvalue()


@pytest.fixture
def checked(overlay: bytes) -> Callable[..., int]:
    """File a check of a spike, taken some minutes after the start; return its number."""

    def file_check(
        store: Store, cross: str, spike: int, verdict: Verdict, *, minutes: float, by: str = "Ida"
    ) -> int:
        reasons = '[{"message": "Green anther in floret L2."}]' if verdict == "review" else "[]"
        calibration = (
            '{"name": "own", "spikes": 399, "passed": 1, "alpha": 0.01, "bound": 0.005, '
            '"pass_score_most": 0.3, "sha256": "' + "c" * 64 + '"}'
        )
        check = NewCheck(
            verdict=verdict,
            result=f'{{"reasons": {reasons}, "photos": [{{"calibration": {calibration}}}]}}',
            model=ModelIdentity("florets", "3", "a" * 64),
            thresholds_sha256="b" * 64,
            software_version="0.7",
            photos=tuple(
                NewPhoto(f"face {face}.jpg", f"{cross}{spike}{face}".encode(), overlay)
                for face in range(2)
            ),
        )
        at = START + timedelta(minutes=minutes)
        return store.add_check(check, cross=cross, spike=spike, by=by, at=at).id

    return file_check


@pytest.fixture
def session(store: Store, checked: Callable[..., int]) -> Store:
    """Records of a session: pass, review, an override, unchecked bags, a spike elsewhere."""
    store.plans.add(planned("C-1", "Ferra", "Olmo"))
    store.plans.add(planned("C-2", "Ardelle", "Tiefland"))
    people = ("Ida", "Bo")
    store.sessions.add(CrossingSession(SESSION, date(2026, 5, 4), "House 2", people, "Warm.\nDry."))
    store.sessions.add(CrossingSession("S-0505", date(2026, 5, 5), "House 2", people))

    def step(minutes: float, detail: object, by: str, session: str = "") -> Step:
        return Step(detail, START + timedelta(minutes=minutes), by, session)  # type: ignore[arg-type]

    for spike in range(1, 7):
        store.spikes.add("C-1", spike, step(spike, Emasculated(20, 60), people[spike % 2], SESSION))
    store.spikes.add("C-2", 1, step(9, Emasculated(18, 54), "Ida", SESSION))
    store.spikes.add("C-2", 2, step(9, Emasculated(18, 54), "Ida", "S-0505"))
    for spike, verdict in ((1, "pass"), (2, "review"), (3, "review"), (4, "pass")):
        checked(store, "C-1", spike, Verdict(verdict), minutes=10 + spike, by="Bo")
    checked(store, "C-2", 2, Verdict.REVIEW, minutes=20)
    number = checked(store, "C-2", 1, Verdict.REVIEW, minutes=20)
    for check, why in ((2, "It was a palea."), (2, "Seen again: it was."), (number, "A hair.")):
        moment = START + timedelta(minutes=30 + check)
        store.override(check, "Rut", why, Verdict.PASS, at=moment)
    for spike in (1, 2, 4):
        store.spikes.add("C-1", spike, step(40, Bagged(), "Ida"))
    store.spikes.add("C-1", 5, step(41, Bagged("The camera was wet."), "Bo"))
    return store


@pytest.fixture
def report_of() -> Callable[[Store], Report]:
    """Put the report of the session into words."""

    def make(store: Store) -> Report:
        facts = gather_session(store, SESSION, made_at=MADE, made_by="Rut", zone=ZONE)
        return session_report(facts, make_small_pictures(store, facts))

    return make
