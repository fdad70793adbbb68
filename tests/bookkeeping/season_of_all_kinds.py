"""A store in which every table has rows, and spikes that ended in every way."""

from __future__ import annotations

from spikecheck.vocabulary import CrossingSession, StepKind, Verdict
from spikecheck.vocabulary.audit_steps import (
    AuditDecided,
    AuditDecision,
    DrawnForAudit,
    Leftovers,
    ReadAgain,
)
from spikecheck.vocabulary.plan import PlannedParent
from spikecheck.vocabulary.steps import (
    Bagged,
    Emasculated,
    GivenUp,
    Harvested,
    KeptAsControl,
    Pollinated,
    Rebagged,
    SeedTested,
    Selected,
    Tagged,
    ThirdCount,
    Threshed,
)
from spikecheck.vocabulary.temperatures import Constant, DailyReading, Reading
from tests.bookkeeping.invented import CUT, DAY, HOUR, checked, did
from tests.plans import planned

TAG = "6PYX4C5Y"
THIRDS = (ThirdCount(3, 6), ThirdCount(7, 8), ThirdCount(2, 5))


def fill(store):
    """Record a season beside the cross C-1."""
    store.plans.add(
        planned(
            "=M-2", "Corvé 3", "@Tarn", purpose="+early\nand short", seeds_wanted=40, crop="barley",
            project="-North", note='says "no", twice',
        )
    )  # fmt: skip
    store.plans.change_parent(
        PlannedParent("Ferra", "IN 113", "Dorn/Esk", "pot 7"), by="Ida", reason="known now"
    )
    store.sessions.add(CrossingSession("S-1", CUT.date(), "House 2", ("Ida", "Bo"), "=hot"))
    days = (DailyReading(CUT.date(), 8.5, 21), DailyReading((CUT + DAY).date(), 9, 22))
    store.temperatures.add("House 2", days, zone="UTC", by="Ida")
    store.temperatures.add("House 2", (Reading(CUT, 20.5),), zone="UTC", by="Ida")
    store.temperatures.add("Chamber", Constant(19, CUT, CUT + DAY), zone="UTC", by="Ida")
    store.numbers.add("wheat", "receptive_best", 60, by="Ida", reason="own trial")
    _crossed(store)
    _control(store)
    did(store, 3, Selected())
    did(store, 3, Emasculated(18, 50, near_anthesis=True), CUT + HOUR)
    did(store, 3, GivenUp("-broken by hail"), CUT + DAY)
    did(store, 4, Emasculated(20, 60))
    number = store.spikes.entries("C-1", 4)[0].number
    store.spikes.correct("C-1", 4, number, None, by="Bo", reason="other spike")


def _crossed(store):
    did(store, 1, Selected(55), CUT - DAY, note="tallest")
    did(store, 1, Tagged(TAG), CUT - DAY)
    did(store, 1, Emasculated(20, 60, "clip"), session="S-1")
    check = checked(store, 1, CUT + HOUR, verdict=Verdict.REVIEW)
    store.override(check.id, "Ida", "a palea", at=CUT + 2 * HOUR)
    did(store, 1, Bagged(), CUT + 3 * HOUR)
    did(store, 1, DrawnForAudit("ab" * 32, 2, 1, 0), CUT + 4 * HOUR, by="Rut", session="S-1")
    read = ReadAgain(check.id, Verdict.PASS, Leftovers.NONE)
    did(store, 1, read, CUT + 5 * HOUR, by="Rut")
    confirmed = AuditDecided(check.id, AuditDecision.CONFIRMED, "", Leftovers.NONE)
    did(store, 1, confirmed, CUT + 6 * HOUR, by="Rut")
    shed = CUT + 3 * DAY - HOUR
    did(store, 1, Pollinated("Brinn", shed, "Olmo shed early"), CUT + 3 * DAY, by="Bo")
    did(store, 1, Rebagged(), CUT + 3 * DAY + HOUR)
    did(store, 1, Harvested(), CUT + 8 * DAY)
    did(store, 1, Threshed(12, 19, THIRDS), CUT + 9 * DAY)
    did(store, 1, SeedTested(8, 1), CUT + 9 * DAY)


def _control(store):
    did(store, 2, Emasculated(20, 59), session="S-1")
    did(store, 2, KeptAsControl(), CUT + HOUR)
    did(store, 2, Bagged("a control"), CUT + HOUR)
    did(store, 2, Harvested(), CUT + 8 * DAY)
    did(store, 2, Threshed(1, 20), CUT + 9 * DAY)


EVERY_KIND = set(StepKind)
