"""What steps, verdicts and parts of the spike are called in the reader's language."""

from __future__ import annotations

from spikecheck.language import N_, _, isolated, ngettext, pgettext
from spikecheck.vocabulary.audit_steps import AuditDecision
from spikecheck.vocabulary.steps import StepKind
from spikecheck.vocabulary.verdict import Verdict

_STEPS = {
    StepKind.SELECTED: N_("selected"),
    StepKind.TAGGED: N_("tagged"),
    StepKind.EMASCULATED: N_("emasculated"),
    StepKind.CHECKED: N_("checked"),
    StepKind.OVERRIDDEN: N_("overridden"),
    StepKind.KEPT_AS_CONTROL: N_("kept as control"),
    StepKind.BAGGED: N_("bagged"),
    StepKind.DRAWN_FOR_AUDIT: N_("drawn for audit"),
    StepKind.READ_AGAIN: N_("read again"),
    StepKind.DECIDED: N_("decided"),
    StepKind.POLLINATED: N_("pollinated"),
    StepKind.REBAGGED: N_("re-bagged"),
    StepKind.HARVESTED: N_("harvested"),
    StepKind.THRESHED: N_("threshed"),
    StepKind.SEED_TESTED: N_("seed tested"),
    StepKind.GIVEN_UP: N_("given up"),
}
_DECISIONS = {AuditDecision.CONFIRMED: N_("confirmed"), AuditDecision.SENT_BACK: N_("sent back")}
_CROPS = {
    "wheat": N_("wheat"),
    "durum": N_("durum"),
    "triticale": N_("triticale"),
    "rye": N_("rye"),
    "barley": N_("barley"),
    "oats": N_("oats"),
    "rice": N_("rice"),
}
_THIRDS = {"basal": N_("basal"), "central": N_("central"), "apical": N_("apical")}


def step_words(kind: StepKind) -> str:
    """Return what happened to a spike, in a word or three: ``"kept as control"``."""
    return _(_STEPS[kind])


def verdict_word(verdict: Verdict) -> str:
    """Return the word for a verdict: ``"pass"`` or ``"review"``."""
    if verdict is Verdict.PASS:
        return pgettext("verdict", "pass")
    return pgettext("verdict", "review")


def decision_word(decision: AuditDecision) -> str:
    """Return what was decided about a spike that was read twice: ``"confirmed"``."""
    return _(_DECISIONS[decision])


def spike_name(cross: str, spike: int) -> str:
    """Return the name of a spike, such as ``C-014/3``, its number always behind its cross."""
    return f"{isolated(cross)}/{spike}"


def crop_word(crop: str) -> str:
    """Return the word for a crop that has numbers; the name itself of another."""
    return _(_CROPS[crop]) if crop in _CROPS else crop


def third_word(third: str) -> str:
    """Return the word for one of :data:`~spikecheck.vocabulary.steps.THIRDS`."""
    return _(_THIRDS[third])


def pulled_words(florets: int, anthers: int | None) -> str:
    """Return what an emasculation left and took: ``"20 florets, 60 anthers pulled"``."""
    kept = _florets(florets)
    if anthers is None:
        return kept
    pulled = ngettext("{n} anther pulled", "{n} anthers pulled", anthers).format(n=anthers)
    return f"{kept}, {pulled}"


def seed_set_words(seeds: int, florets: int | None) -> str:
    """Return how many seeds came of how many florets: ``"12 seeds of 20 florets"``."""
    set_ = ngettext("{n} seed", "{n} seeds", seeds).format(n=seeds)
    if florets is None:
        return set_
    return _("{seeds} of {florets}").format(seeds=set_, florets=_florets(florets))


def _florets(count: int) -> str:
    return ngettext("{n} floret", "{n} florets", count).format(n=count)
