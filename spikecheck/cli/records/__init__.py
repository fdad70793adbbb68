"""Commands of the crossing season: plans, steps of spikes, agenda, outcomes, exchange."""
