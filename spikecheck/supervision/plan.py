"""How many spikes of a session to draw, what that is worth, and what the standard would ask."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.audit import acceptance, reference_plan, smallest_plan
from spikecheck.errors import UsageError
from spikecheck.language import _, ngettext, percent
from spikecheck.thresholds.audit import load_audit

if TYPE_CHECKING:
    from spikecheck.audit import ReferencePlan, SamplingPlan

_DIGITS_MOST = 4


@dataclass(frozen=True, slots=True)
class SessionPlan:
    """A sampling plan of a session, and the reference plan beside it.

    Parameters
    ----------
    plan
        Lot, sample and acceptance number.
    detect
        Bad spikes in the lot that the sample is to notice.
    missed
        Probability that a lot with so many passes all the same.
    reference
        What ISO 2859-1 gives for such a lot; None where its table does not reach, or begins later.
    reference_limit_percent
        Its acceptance quality limit, percent of bad spikes; None without one.
    """

    plan: SamplingPlan
    detect: int
    missed: float
    reference: ReferencePlan | None = None
    reference_limit_percent: float | None = None

    @property
    def sentence(self) -> str:
        """What the plan is worth, in words."""
        plan = self.plan
        if plan.sample == plan.lot:
            if plan.lot == 1:
                return _("Look at the one spike of the session: nothing is left to the draw.")
            return _(
                "Look at all {lot} spikes: nothing is left to the draw. The session passes with "
                "{accept} bad at most."
            ).format(lot=plan.lot, accept=plan.accept)
        if plan.accept == 0:
            told = ngettext(
                "Look at {sample} of {lot} spikes; the session passes if it is not bad.",
                "Look at {sample} of {lot} spikes; the session passes if none of them is bad.",
                plan.sample,
            )
        else:
            told = _(
                "Look at {sample} of {lot} spikes; the session passes with {accept} bad at most."
            )
        worth = _(
            "If {detect} of the {lot} were bad, it would still pass with a probability of {missed}."
        )
        return f"{told} {worth}".format(
            sample=plan.sample, lot=plan.lot, accept=plan.accept,
            detect=self.detect, missed=percent(self.missed, _digits(self.missed)),
        )  # fmt: skip

    @property
    def reference_sentence(self) -> str:
        """The reference plan in words, with where it is from; empty without one."""
        if self.reference is None:
            return ""
        return _(
            "For reference, ISO 2859-1, single sampling, level II, limit {limit} %: code letter "
            "{letter}, sample {sample}, passes with {accept} bad at most. It means a long series "
            "of lots; letters and sample sizes are as read from a chart of the standard, "
            "acceptance numbers are from memory."
        ).format(
            limit=f"{self.reference_limit_percent:g}", letter=self.reference.code_letter,
            sample=self.reference.sample, accept=self.reference.accept,
        )  # fmt: skip


def session_plan(
    lot: int,
    *,
    detect_share: float | None = None,
    miss_risk: float | None = None,
    good_share: float = 0.0,
    false_alarm_risk: float | None = None,
) -> SessionPlan:
    """Return the plan with the smallest sample that keeps both risks.

    Parameters
    ----------
    lot
        Bagged spikes of the session.
    detect_share
        Share of bad spikes to notice, above 0; rounded up to whole spikes.
    miss_risk
        Probability with which a session with so many may still pass.
    good_share
        Share that is good enough to pass, below ``detect_share``; rounded down.
    false_alarm_risk
        Probability with which a session that is good enough may fail.

    None takes the shipped number.

    Raises
    ------
    UsageError
        If the lot is empty or a number is out of range.
    """
    numbers = load_audit()
    share = numbers.detect_share if detect_share is None else detect_share
    if lot < 1:
        raise UsageError(_("no spike of the session hangs in its bag"), cure=_("Bag some first"))
    if not 0 < share <= 1 or not 0 <= good_share < share:
        raise UsageError(
            _("a share to notice lies above 0 and above the share that is good enough"),
            cure=_("Give shares such as 0.05 and 0"),
        )
    # A product a rounding above a whole number must not become one more.
    detect = max(1, math.ceil(share * lot - 1e-9))
    plan = smallest_plan(
        lot,
        consumer_bad=detect,
        consumer_risk=numbers.miss_risk if miss_risk is None else miss_risk,
        producer_bad=min(math.floor(good_share * lot + 1e-9), detect - 1),
        producer_risk=numbers.false_alarm_risk if false_alarm_risk is None else false_alarm_risk,
    )
    limit = numbers.reference_limit_percent
    return SessionPlan(plan, detect, acceptance(plan, detect), _reference(lot, limit), limit)


def _digits(probability: float) -> int:
    """Return how many digits of per cent tell a probability from 0."""
    if probability == 0 or probability >= 1 / 100:
        return 0
    return min(math.ceil(-math.log10(probability)) - 2, _DIGITS_MOST)


def _reference(lot: int, limit_percent: float) -> ReferencePlan | None:
    try:
        return reference_plan(lot, limit_percent)
    except UsageError:
        return None
