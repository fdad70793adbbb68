"""The audit of a spike as the text of a column, and back without loss."""

from __future__ import annotations

import dataclasses
import json
from datetime import datetime
from typing import Any

from spikecheck.history.chain import spelled
from spikecheck.history.step_json import moment_text
from spikecheck.vocabulary.audit_steps import AuditDecision, Leftovers
from spikecheck.vocabulary.spike_audit import SpikeAudit
from spikecheck.vocabulary.verdict import Verdict

_READ = {
    "drawn_at": datetime.fromisoformat,
    "read_at": datetime.fromisoformat,
    "decided_at": datetime.fromisoformat,
    "first_verdict": Verdict,
    "first_computed": Verdict,
    "read_verdict": Verdict,
    "read_leftovers": Leftovers,
    "decision": AuditDecision,
}


def audit_text(audit: SpikeAudit) -> str:
    """Return ``audit`` as one line of JSON."""
    values = {
        name: moment_text(value) if isinstance(value, datetime) else value
        for name, value in dataclasses.asdict(audit).items()
    }
    if audit.read_blind:
        # As in the step: rows written before it was asked are spelled alike.
        del values["read_blind"]
    return spelled(values)


def read_audit(text: str) -> SpikeAudit:
    """Return the audit written by :func:`audit_text`."""
    values: dict[str, Any] = {
        name: _READ[name](value) if name in _READ and value is not None else value
        for name, value in json.loads(text).items()
    }
    return SpikeAudit(**values)
