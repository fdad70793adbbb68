"""The outcome of calibrating on own photos, as text and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rich.box import SIMPLE_HEAD
from rich.table import Table

from spikecheck.cli.console import printable, say, say_table

if TYPE_CHECKING:
    from pathlib import Path

    from spikecheck.labelling.own_calibration import OwnCalibration, Promise
    from spikecheck.vocabulary import ModelIdentity


def show_outcome(outcome: OwnCalibration, *, file: Path | None) -> None:
    """Write what was chosen, or why nothing was and what could be promised."""
    say(
        f"Spikes with a marked leftover: {outcome.leftover_spikes}; "
        f"clean: {outcome.clean_spikes}; each photo counts as one spike unless its spike is named."
    )
    if outcome.held_back:
        say(
            f"Left out because they go to review whatever the limit: {outcome.held_back} "
            "(photo not good enough, a floret not seen or not clipped)"
        )
    if outcome.promises:
        say_table(_table(outcome))
    calibration = outcome.calibration
    if calibration is None or file is None:
        say(_why_not(outcome))
        say("Nothing was written. The shipped calibration stays in force.")
        return
    say(
        f"Promise: of spikes with a visible leftover at most {percent(calibration.bound)} pass, on "
        "average, on photos like these (same crop, phone, light and way of holding). Another "
        "crop, phone or light needs a calibration of its own."
    )
    say(f"Written: {printable(str(file))} ({printable(calibration.name)})")


def outcome_entry(
    outcome: OwnCalibration, *, file: Path | None, model: ModelIdentity
) -> dict[str, Any]:
    """Return the outcome as an object for JSON."""
    return {
        "written": None if file is None else str(file),
        "model": {"name": model.name, "version": model.version, "sha256": model.sha256},
        "leftover_spikes": outcome.leftover_spikes,
        "clean_spikes": outcome.clean_spikes,
        "held_back_spikes": outcome.held_back,
        "wanted": _promise_entry(outcome.wanted),
        "possible": [_promise_entry(promise) for promise in outcome.promises],
    }


def percent(share: float) -> str:
    """Return a share as a percentage with as many digits as it needs, never rounded down."""
    from math import ceil

    tenths = ceil(round(share * 1000, 6))
    return f"{tenths / 10:g} %"


def _promise_entry(promise: Promise) -> dict[str, Any]:
    control = promise.control
    return {
        "alpha": control.alpha,
        "outcome": control.outcome.value,
        "spikes_needed": control.spikes_least,
        "pass_score_most": control.limit,
        "bound": control.bound,
        "leftover_spikes_passed": control.passed,
        "clean_spikes_passed": promise.clean_passed,
    }


def _table(outcome: OwnCalibration) -> Table:
    table = Table("promise", title="What could be promised", box=SIMPLE_HEAD, title_justify="left")
    for heading in ("limit", "leftover spikes that pass", "clean spikes that pass"):
        table.add_column(heading, justify="right")
    shown = {promise.control.alpha: promise for promise in outcome.promises}
    if outcome.calibration is not None:
        shown[outcome.wanted.control.alpha] = outcome.wanted
    for alpha, promise in sorted(shown.items()):
        control = promise.control
        table.add_row(
            f"at most {percent(alpha)}",
            f"{control.limit:.4f}",
            f"{control.passed} of {outcome.leftover_spikes}",
            f"{promise.clean_passed} of {outcome.clean_spikes}",
        )
    return table


def _why_not(outcome: OwnCalibration) -> str:
    from spikecheck.assessment.conformal import Outcome

    control = outcome.wanted.control
    share = percent(control.alpha)
    if control.outcome is Outcome.TOO_FEW:
        return (
            f"Too few for {share}: at least {control.spikes_least} spikes with a leftover are "
            f"needed, here are {outcome.leftover_spikes}."
        )
    return (
        f"{share} cannot be promised: too many spikes with a leftover go unnoticed even at the "
        "strictest limit. Mark more photos, or fit the network on them (--export)."
    )
