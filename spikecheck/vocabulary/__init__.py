"""The words every room shares: frozen records, checked once, when they are made."""

from spikecheck.vocabulary.anther import Anther, AntherStage
from spikecheck.vocabulary.calibration import Calibration
from spikecheck.vocabulary.check_result import (
    SCHEMA,
    CheckedTag,
    CheckResult,
    PhotoResult,
    identified,
)
from spikecheck.vocabulary.cross import WHEAT, Cross
from spikecheck.vocabulary.cross_tag import CrossTag
from spikecheck.vocabulary.crossing_session import CrossingSession
from spikecheck.vocabulary.entry import Entry, Step
from spikecheck.vocabulary.findings import NETWORK_FREE, Finder, Findings, ModelIdentity
from spikecheck.vocabulary.floret import Floret, FloretStatus, JudgedFloret, Side
from spikecheck.vocabulary.geometry import Box, Point
from spikecheck.vocabulary.parent import Parent
from spikecheck.vocabulary.pedigree import (
    Backcross,
    Line,
    Pedigree,
    PedigreeCross,
    expand_backcrosses,
    format_pedigree,
)
from spikecheck.vocabulary.pedigree_notation import crossed, parse_pedigree
from spikecheck.vocabulary.photo import Photo
from spikecheck.vocabulary.quality import PhotoQuality, QualityProblem
from spikecheck.vocabulary.scale import Scale, ScaleSource
from spikecheck.vocabulary.seen_tag import ColourCorrection, SeenTag
from spikecheck.vocabulary.spike import Spike
from spikecheck.vocabulary.spike_record import SpikeRecord
from spikecheck.vocabulary.steps import StepKind
from spikecheck.vocabulary.truth import TRUTH_SCHEMA, PhotoTruth, TrueAnther, TrueFloret
from spikecheck.vocabulary.truth_file import read_truth, write_truth
from spikecheck.vocabulary.verdict import Reason, ReasonCode, Risk, Verdict

__all__ = [
    "NETWORK_FREE",
    "SCHEMA",
    "TRUTH_SCHEMA",
    "WHEAT",
    "Anther",
    "AntherStage",
    "Backcross",
    "Box",
    "Calibration",
    "CheckResult",
    "CheckedTag",
    "ColourCorrection",
    "Cross",
    "CrossTag",
    "CrossingSession",
    "Entry",
    "Finder",
    "Findings",
    "Floret",
    "FloretStatus",
    "JudgedFloret",
    "Line",
    "ModelIdentity",
    "Parent",
    "Pedigree",
    "PedigreeCross",
    "Photo",
    "PhotoQuality",
    "PhotoResult",
    "PhotoTruth",
    "Point",
    "QualityProblem",
    "Reason",
    "ReasonCode",
    "Risk",
    "Scale",
    "ScaleSource",
    "SeenTag",
    "Side",
    "Spike",
    "SpikeRecord",
    "Step",
    "StepKind",
    "TrueAnther",
    "TrueFloret",
    "Verdict",
    "crossed",
    "expand_backcrosses",
    "format_pedigree",
    "identified",
    "parse_pedigree",
    "read_truth",
    "write_truth",
]
