"""How far one spike is: what its history adds up to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.vocabulary.audit_steps import AuditDecision

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.vocabulary.spike_audit import SpikeAudit
    from spikecheck.vocabulary.steps import ThirdCount
    from spikecheck.vocabulary.verdict import Verdict


@dataclass(frozen=True, slots=True)
class SpikeRecord:
    """One spike as it stands; moments are UTC, None means that it has not happened.

    Parameters
    ----------
    cross, spike
        Id of the cross and number of the spike in it, from 1.
    crop, female, male
        Of the cross as planned.
    session, place
        Id and place of the crossing session it was emasculated in; empty without one.
    tag
        Code of the tag that hangs on it, or None.
    control
        Whether it is a control spike: emasculated, bagged, never pollinated.
    selected_at, growth_stage
        When it was chosen, at which BBCH stage.
    emasculated_at, emasculated_by, method, florets, anthers
        When, by whom, how; florets kept and anthers pulled.
    check, checked_at, checked_by, verdict, computed_verdict, overridden, near_anthesis
        The latest check: its number, when, by whom; the verdict that stands and the computed one;
        whether a person set it; whether an anther near anthesis was ever seen on it.
    bagged_at, pollinated_at, pollinated_by, pollinated_male, pollen_at, rebagged_at, harvested_at
        The way on.
    threshed_at, seeds, seed_florets, thirds
        Seeds set of how many florets; also by basal, central, apical third where counted.
    tested, selfed
        Seeds tested and how many of them were selfed.
    given_up_at, given_up_reason
        When and why nothing more comes of it.
    overridden_by
        Who set the verdict that stands, where it is a person's; empty otherwise.
    audit
        The latest audit of it, or None where it was never drawn.
    """

    cross: str
    spike: int
    crop: str
    female: str
    male: str
    session: str = ""
    place: str = ""
    tag: str | None = None
    control: bool = False
    selected_at: datetime | None = None
    growth_stage: int | None = None
    emasculated_at: datetime | None = None
    emasculated_by: str = ""
    method: str = ""
    florets: int | None = None
    anthers: int | None = None
    check: int | None = None
    checked_at: datetime | None = None
    checked_by: str = ""
    verdict: Verdict | None = None
    computed_verdict: Verdict | None = None
    overridden: bool = False
    near_anthesis: bool = False
    bagged_at: datetime | None = None
    pollinated_at: datetime | None = None
    pollinated_by: str = ""
    pollinated_male: str = ""
    pollen_at: datetime | None = None
    rebagged_at: datetime | None = None
    harvested_at: datetime | None = None
    threshed_at: datetime | None = None
    seeds: int | None = None
    seed_florets: int | None = None
    thirds: tuple[ThirdCount, ThirdCount, ThirdCount] | None = None
    tested: int | None = None
    selfed: int | None = None
    given_up_at: datetime | None = None
    given_up_reason: str = ""
    overridden_by: str = ""
    audit: SpikeAudit | None = None

    @property
    def sent_back(self) -> bool:
        """Whether an audit sent it back for a check that nobody has made yet."""
        audit = self.audit
        return (
            audit is not None
            and audit.decision is AuditDecision.SENT_BACK
            and audit.check == self.check
        )
