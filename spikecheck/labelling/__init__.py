"""People mark what is really in their own photos; the marks are truth files beside the photos."""

from spikecheck.labelling.session import LabelSession
from spikecheck.labelling.state import LabelState, Proposal

__all__ = ["LabelSession", "LabelState", "Proposal"]
