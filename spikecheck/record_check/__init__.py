"""Files one check beside its cross."""

from spikecheck.record_check.record import record_check

__all__ = ["record_check"]
