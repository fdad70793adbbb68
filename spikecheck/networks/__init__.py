"""Runs trained networks: manifest, digest, session, pre-processing.

A network here is one ONNX file that turns images into maps; what the maps mean is decided above,
in ``segmentation`` and ``anthers``. Pre-processing is shared with training, so that a network
sees at work what it saw when it was fitted.
"""

from spikecheck.networks.load import FLORETS, OVERVIEW, Network, load_network, network_versions
from spikecheck.networks.manifest import Manifest, read_manifest
from spikecheck.networks.outputs import FloretMap, OverviewGlobal, OverviewMap
from spikecheck.networks.peaks import Peak, find_peaks, sigmoid
from spikecheck.networks.preprocess import (
    CELL_PX,
    OVERVIEW_SIDE_PX,
    STRIP_MULTIPLE_PX,
    Letterbox,
    cell_centres_px,
    letterbox,
    strip_tensor,
)
from spikecheck.networks.tiling import run_in_tiles
from spikecheck.networks.tuned import FloretsTuned, LogitScaling, OverviewTuned

__all__ = [
    "CELL_PX",
    "FLORETS",
    "OVERVIEW",
    "OVERVIEW_SIDE_PX",
    "STRIP_MULTIPLE_PX",
    "FloretMap",
    "FloretsTuned",
    "Letterbox",
    "LogitScaling",
    "Manifest",
    "Network",
    "OverviewGlobal",
    "OverviewMap",
    "OverviewTuned",
    "Peak",
    "cell_centres_px",
    "find_peaks",
    "letterbox",
    "load_network",
    "network_versions",
    "read_manifest",
    "run_in_tiles",
    "sigmoid",
    "strip_tensor",
]
