"""spikecheck: checks photos of hand-emasculated cereal spikes for leftover anthers."""

__version__ = "0.1.0"
