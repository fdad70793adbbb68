"""The audit of a crossing session in the records: its sample, readings, decisions, pictures."""

from spikecheck.supervision.confirming import confirm_all, confirmable
from spikecheck.supervision.labels import export_audit_labels, packed_audit_labels
from spikecheck.supervision.plan import SessionPlan, session_plan
from spikecheck.supervision.session_audit import SessionAudit, session_audit
from spikecheck.supervision.steps import decide, draw_session, read_again, waiting_to_be_read

__all__ = [
    "SessionAudit",
    "SessionPlan",
    "confirm_all",
    "confirmable",
    "decide",
    "draw_session",
    "export_audit_labels",
    "packed_audit_labels",
    "read_again",
    "session_audit",
    "session_plan",
    "waiting_to_be_read",
]
