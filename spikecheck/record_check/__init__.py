"""Files one check beside its cross."""

from spikecheck.record_check.from_draft import record_draft, recorded_from
from spikecheck.record_check.other_spikes import told_of_other_spikes
from spikecheck.record_check.record import record_check
from spikecheck.record_check.tagged_spike import spike_of_tag

__all__ = ["record_check", "record_draft", "recorded_from", "spike_of_tag", "told_of_other_spikes"]
