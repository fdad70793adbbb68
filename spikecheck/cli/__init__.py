"""The `spikecheck` command."""

from __future__ import annotations


def main() -> None:
    """Run the command with the arguments of this process and end it with its exit code."""
    from spikecheck.cli.commands import app

    app()
