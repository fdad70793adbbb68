"""A result in words, for people."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.panel import Panel
from rich.text import Text

from spikecheck.assessment import promise, risk_rests_on
from spikecheck.cli.console import out, printable, say
from spikecheck.vocabulary import NETWORK_FREE, Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from spikecheck.vocabulary import Calibration, CheckResult, ModelIdentity, Reason, Risk

_MEANING = {
    Verdict.PASS: "no leftover anther seen",
    Verdict.REVIEW: "do not bag yet, look again",
}
_STYLES = {Verdict.PASS: "bold cyan", Verdict.REVIEW: "bold yellow"}
_RAREST = 1000  # one in so many is as rare as is told
_SUREST = 0.99  # a probability is told up to here; 1 would claim to be certain


def show_result(result: CheckResult) -> None:
    """Write verdict, reasons, risk, what a pass promises, and what looked."""
    _show_verdict(result.verdict)
    several = len(result.photos) > 1
    if result.reasons:
        review = result.verdict is Verdict.REVIEW
        say("Why, most urgent first:" if review else "To keep in mind:")
    for number, reason in enumerate(result.reasons, start=1):
        say(f"{number:>3}. {printable(reason.message)}")
        place = _place(reason, result, several=several)
        if place:
            say(f"     Look at {place}")
    if result.reasons:
        say()
    say(risk_text(result.risk))
    if result.verdict is Verdict.PASS:
        calibrations = [photo.findings.calibration for photo in result.photos]
        say(f"Promise: {printable(promise(calibrations))}")
    findings = result.photos[0].findings
    say(model_text(findings.model))
    if findings.calibration is not None:
        say(calibration_text(findings.calibration))


def show_overlay_files(files: Sequence[Path]) -> None:
    """Write where the overlays are."""
    for file in files:
        say(f"Overlay: {printable(str(file))}")


def risk_text(risk: Risk) -> str:
    """Return the risk as how many of such spikes keep an anther, with the number.

    Where no floret was seen the number rests on none of this spike, and is not told as if it did.
    """
    p = risk.p_leftover
    if risk.expected_selfed_share is None:
        return f"Risk: not known, no floret could be judged (reckoned with: probability {p:.2g})"
    if p * _RAREST < 1:
        words = f"fewer than 1 in {_RAREST} such spikes keeps an anther"
    elif p > 1 / 2:
        words = "such a spike more likely than not keeps an anther"
    else:
        words = f"about 1 in {round(1 / p)} such spikes keeps an anther"
    number = f"over {_SUREST:.2g}" if p > _SUREST else f"{p:.2g}"
    text = f"Risk: {words} (probability {number}"
    text += f"; expected share of selfed seed {risk.expected_selfed_share:.2g}"
    return f"{text}; {risk_rests_on(calibrated=risk.calibrated)})"


def model_text(model: ModelIdentity) -> str:
    """Return what looked at the photos."""
    kind = "rules on colour and shape, no trained network" if model.name == NETWORK_FREE else ""
    name = printable(f"{model.name} {model.version}")
    return f"Looked at by: {name}" + (f" ({kind})" if kind else f" (network {model.sha256[:12]})")


def calibration_text(calibration: Calibration) -> str:
    """Return which calibration is in force."""
    return (
        f"Calibration: {printable(calibration.name)} ({calibration.spikes} spikes with a leftover, "
        f"pass limit {calibration.pass_score_most:.4f})"
    )


def _show_verdict(verdict: Verdict) -> None:
    text = Text(f"{verdict.upper()}: {_MEANING[verdict]}", _STYLES[verdict])
    if out().is_terminal:
        say(Padding(Panel.fit(text, padding=(1, 4), border_style=_STYLES[verdict]), (1, 0)))
    else:
        say(text)
        say()


def _place(reason: Reason, result: CheckResult, *, several: bool) -> str:
    """Return where to look: photo, floret, pixel; empty when the reason is about no place."""
    parts = []
    if several and reason.photo is not None:
        parts.append(f"photo {reason.photo + 1} ({printable(result.photos[reason.photo].file)})")
    if reason.floret is not None:
        parts.append(f"floret {reason.floret}")
    if reason.place is not None:
        parts.append(f"x {reason.place.column:.0f}, y {reason.place.row:.0f} px")
    return ", ".join(parts)
