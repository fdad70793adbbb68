"""Papers for the file: what happened in a crossing session, as PDF and as one HTML file.

What a report says is gathered from the records (``gathering``), put into words in the reader's
language once (``contents``), and written down alike as PDF and as HTML. :func:`report_files` does
all of it.
"""

from spikecheck.reports.files import ReportFiles, report_files

__all__ = ["ReportFiles", "report_files"]
