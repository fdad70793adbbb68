"""What can happen to a spike, each with what must be known of it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.vocabulary.audit_steps import AuditDecided, DrawnForAudit, ReadAgain
from spikecheck.vocabulary.third import Third

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.vocabulary.verdict import Verdict

# Thirds of the spike from its base, in which seed may be counted apart.
THIRDS = tuple(Third)
_BBCH_LAST = 99
# Far above any spike or panicle: 30 spikelets of 12 florets started are 360 (Shewry, Wheat, ch. 1),
# rice panicles have some hundreds of florets of 6 anthers (from memory). What is more was mistyped.
FLORETS_MOST = 2_000
ANTHERS_MOST = 6 * FLORETS_MOST


def _refuse_parts(*counts: object) -> None:
    """Refuse 2.5 where things are counted, and 2.0, which a history would tell from 2."""
    for count in counts:
        if not isinstance(count, int):
            raise UsageError(
                _("{count} is no count").format(count=count), cure=_("Give a whole number")
            )


class StepKind(StrEnum):
    """The steps of a spike's way, in the order in which they come when all goes well."""

    SELECTED = "selected"
    TAGGED = "tagged"
    EMASCULATED = "emasculated"
    CHECKED = "checked"
    OVERRIDDEN = "overridden"
    KEPT_AS_CONTROL = "kept_as_control"
    BAGGED = "bagged"
    DRAWN_FOR_AUDIT = "drawn_for_audit"
    READ_AGAIN = "read_again"
    DECIDED = "decided"
    POLLINATED = "pollinated"
    REBAGGED = "rebagged"
    HARVESTED = "harvested"
    THRESHED = "threshed"
    SEED_TESTED = "seed_tested"
    GIVEN_UP = "given_up"


@dataclass(frozen=True, slots=True)
class Selected:
    """The spike was chosen; ``growth_stage`` is its BBCH (Zadoks) code, or None if not noted."""

    growth_stage: int | None = None

    def __post_init__(self) -> None:
        if self.growth_stage is None:
            return
        _refuse_parts(self.growth_stage)
        if not 0 <= self.growth_stage <= _BBCH_LAST:
            raise UsageError(
                _("growth stages go from 0 to 99 (BBCH), got {growth_stage}").format(
                    growth_stage=self.growth_stage
                )
            )


@dataclass(frozen=True, slots=True)
class Tagged:
    """The tag with this code belongs to the spike; earlier ones of it still name it."""

    code: str


@dataclass(frozen=True, slots=True)
class Emasculated:
    """Anthers were pulled.

    Parameters
    ----------
    florets
        Florets kept, 1 or more.
    anthers
        Anthers pulled, counted.
    method
        How, such as clip, in the programme's own words; may be empty.
    near_anthesis
        Whether some of them were turning yellow.
    """

    florets: int
    anthers: int
    method: str = ""
    near_anthesis: bool = False

    def __post_init__(self) -> None:
        _refuse_parts(self.florets, self.anthers)
        if not 1 <= self.florets <= FLORETS_MOST:
            raise UsageError(
                _("a spike keeps 1 to {florets_most} florets, got {florets}").format(
                    florets_most=FLORETS_MOST, florets=self.florets
                ),
                cure=_("Count again"),
            )
        if not 0 <= self.anthers <= ANTHERS_MOST:
            raise UsageError(
                _("anthers pulled are 0 to {anthers_most}, got {anthers}").format(
                    anthers_most=ANTHERS_MOST, anthers=self.anthers
                ),
                cure=_("Count again"),
            )


@dataclass(frozen=True, slots=True)
class Checked:
    """Photos were judged.

    Parameters
    ----------
    check
        Number of the check in the store.
    verdict
        Pass or review.
    near_anthesis
        Whether an anther near anthesis was seen.
    result_sha256
        Hex digest of the result's JSON text.
    photos
        Hex SHA-256 of each photo, in order.
    overlays
        Hex SHA-256 of each overlay, in order.
    filed_sha256
        Hex digest of what else was filed: model, thresholds, version of the program, names of the
        photo files; empty where nothing was filed.
    """

    check: int
    verdict: Verdict
    near_anthesis: bool
    result_sha256: str
    photos: tuple[str, ...]
    overlays: tuple[str, ...]
    filed_sha256: str = ""


@dataclass(frozen=True, slots=True)
class Overridden:
    """A person's word against the verdict of a check, with the reason."""

    check: int
    verdict: Verdict
    reason: str


@dataclass(frozen=True, slots=True)
class KeptAsControl:
    """The spike is to be emasculated, bagged and never pollinated."""


@dataclass(frozen=True, slots=True)
class Bagged:
    """The bag went on; ``unchecked_reason`` says why without a valid check, else it is empty."""

    unchecked_reason: str = ""


@dataclass(frozen=True, slots=True)
class Pollinated:
    """Pollen was brought.

    Parameters
    ----------
    male
        Name of the parent that gave it.
    pollen_at
        When the pollen was shed or gathered, UTC, or None if not noted.
    other_male_reason
        Why it is another male than planned; empty when it is the planned one.
    """

    male: str
    pollen_at: datetime | None = None
    other_male_reason: str = ""


@dataclass(frozen=True, slots=True)
class Rebagged:
    """The bag went back on after pollination."""


@dataclass(frozen=True, slots=True)
class Harvested:
    """The spike was cut."""


@dataclass(frozen=True, slots=True)
class ThirdCount:
    """Seeds set of the florets kept in one third of the spike."""

    seeds: int
    florets: int

    def __post_init__(self) -> None:
        _refuse_parts(self.seeds, self.florets)
        if not 0 <= self.seeds <= self.florets:
            raise UsageError(
                _("{seeds} seeds cannot come from {florets} florets").format(
                    seeds=self.seeds, florets=self.florets
                )
            )


@dataclass(frozen=True, slots=True)
class Threshed:
    """Seeds were counted.

    Parameters
    ----------
    seeds
        Seeds set.
    florets
        Florets they could have come from, 1 or more; one floret sets one seed at most.
    thirds
        The same for the basal, central and apical third, summing to the whole, or None.
    """

    seeds: int
    florets: int
    thirds: tuple[ThirdCount, ThirdCount, ThirdCount] | None = None

    def __post_init__(self) -> None:
        _refuse_parts(self.seeds, self.florets)
        if not 1 <= self.florets <= FLORETS_MOST or not 0 <= self.seeds <= self.florets:
            raise UsageError(
                _("{seeds} seeds cannot come from {florets} florets").format(
                    seeds=self.seeds, florets=self.florets
                ),
                cure=_("Count both again; a floret sets one seed at most"),
            )
        if self.thirds is not None:
            seeds = sum(third.seeds for third in self.thirds)
            florets = sum(third.florets for third in self.thirds)
            if (seeds, florets) != (self.seeds, self.florets):
                raise UsageError(
                    _(
                        "the thirds make {seeds} seeds of {florets} florets, the spike has "
                        "{all_seeds} of {all_florets}"
                    ).format(
                        seeds=seeds,
                        florets=florets,
                        all_seeds=self.seeds,
                        all_florets=self.florets,
                    ),
                    cure=_("Correct either"),
                )


@dataclass(frozen=True, slots=True)
class SeedTested:
    """F1 seed was tested: of ``tested`` seeds ``selfed`` came from the female's own pollen."""

    tested: int
    selfed: int

    def __post_init__(self) -> None:
        _refuse_parts(self.tested, self.selfed)
        if self.tested < 1 or not 0 <= self.selfed <= self.tested:
            raise UsageError(
                _("{selfed} selfed of {tested} tested seeds cannot be").format(
                    selfed=self.selfed, tested=self.tested
                ),
                cure=_("Count again"),
            )


@dataclass(frozen=True, slots=True)
class GivenUp:
    """Nothing more comes of the spike; the reason is never empty."""

    reason: str


StepDetail = (
    Selected | Tagged | Emasculated | Checked | Overridden | KeptAsControl | Bagged | Pollinated
    | Rebagged | Harvested | Threshed | SeedTested | GivenUp | DrawnForAudit | ReadAgain
    | AuditDecided
)  # fmt: skip

DETAIL_OF: dict[StepKind, type] = {
    StepKind.SELECTED: Selected,
    StepKind.TAGGED: Tagged,
    StepKind.EMASCULATED: Emasculated,
    StepKind.CHECKED: Checked,
    StepKind.OVERRIDDEN: Overridden,
    StepKind.KEPT_AS_CONTROL: KeptAsControl,
    StepKind.BAGGED: Bagged,
    StepKind.DRAWN_FOR_AUDIT: DrawnForAudit,
    StepKind.READ_AGAIN: ReadAgain,
    StepKind.DECIDED: AuditDecided,
    StepKind.POLLINATED: Pollinated,
    StepKind.REBAGGED: Rebagged,
    StepKind.HARVESTED: Harvested,
    StepKind.THRESHED: Threshed,
    StepKind.SEED_TESTED: SeedTested,
    StepKind.GIVEN_UP: GivenUp,
}
AUDIT_KINDS = frozenset({StepKind.DRAWN_FOR_AUDIT, StepKind.READ_AGAIN, StepKind.DECIDED})
"""Steps of an audit: they follow from one another and are never taken back."""
_KIND_OF = {detail: kind for kind, detail in DETAIL_OF.items()}


def kind_of(detail: StepDetail) -> StepKind:
    """Return the kind of step that ``detail`` describes."""
    return _KIND_OF[type(detail)]
