"""People mark what is really in their own photos; the marks are truth files beside the photos."""

from spikecheck.labelling.session import LabelSession
from spikecheck.labelling.state import LabelState, Proposal

LABEL_FOLDER_VARIABLE = "SPIKECHECK_LABEL_FOLDER"
"""Environment variable that tells the page which folder to offer; the page offers no other."""

__all__ = ["LABEL_FOLDER_VARIABLE", "LabelSession", "LabelState", "Proposal"]
