"""A supervisor's second look at a crossing session: how many spikes, which, and what it says."""
