"""What a report says of itself: what made it, what its verdicts rest on, how to prove it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.language import _, number, percent
from spikecheck.reports.blocks import Facts, Section, Text
from spikecheck.reports.words import moment

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.reports.facts import SessionFacts
    from spikecheck.vocabulary.calibration import Calibration


def origin_section(facts: SessionFacts) -> Section:
    """Return versions, digests, calibration and the hash of the history."""
    made = moment(facts, facts.made_at)
    if facts.made_by:
        made = _("{moment}, by {name}").format(moment=made, name=facts.made_by)
    pairs = [
        (_("This report"), made),
        (_("Moments are of"), str(facts.zone)),
        (_("Made with"), f"spikecheck {facts.software_version}"),
    ]
    if facts.checks:
        pairs += [
            (_("Checked with"), _lines((f"spikecheck {one}", n) for one, n in facts.versions())),
            (
                _("Network"),
                _lines(
                    (f"{model.name} {model.version}, SHA-256 {model.sha256}", n)
                    for model, n in facts.models()
                ),
            ),
            (_("Thresholds, SHA-256"), _lines(facts.thresholds())),
            (
                _("Calibration"),
                _lines((_calibration(one), n) for one, n in facts.calibrations),
            ),
        ]
    pairs.append((_("Hash of the history"), facts.chain_head))
    return Section(
        _("What this rests on"),
        (
            Facts(tuple(pairs)),
            Text(
                _(
                    "The hash proves later that nothing recorded before this report was written "
                    "anew. To check it, where the records are:"
                )
            ),
            Text(f"spikecheck verify --head {facts.chain_head}", strong=True),
            Text(
                _(
                    "A verdict of pass is no proof that a spike is clean: the program is a second "
                    "pair of eyes."
                )
            ),
        ),
    )


def _lines(counted: Iterable[tuple[str, int]]) -> str:
    """Return a line each, with the number of checks where there are several lines."""
    several = list(counted)
    if len(several) == 1:
        return several[0][0]
    return "\n".join(
        _("{thing} (checks: {n})").format(thing=thing, n=number(n)) for thing, n in several
    )


def _calibration(calibration: Calibration | None) -> str:
    if calibration is None:
        return _("none")
    return _(
        "{name}: of {spikes} marked spikes with a leftover {passed} passed; at most {share} of "
        "such spikes pass, SHA-256 {sha256}"
    ).format(
        name=calibration.name, spikes=number(calibration.spikes), passed=number(calibration.passed),
        share=percent(calibration.alpha, 1), sha256=calibration.sha256,
    )  # fmt: skip
