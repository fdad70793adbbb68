"""The `spikecheck` command."""
