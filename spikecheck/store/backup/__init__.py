"""Backups: the whole store in one file, made while it is in use, restored all or nothing."""

from spikecheck.store.backup.manifest import Manifest
from spikecheck.store.backup.stages import Progress, Stage

__all__ = ["Manifest", "Progress", "Stage"]
