"""Makes images of prepared spikes with exact truth."""
