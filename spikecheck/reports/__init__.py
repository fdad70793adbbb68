"""Papers for the file: what happened in a crossing session, as PDF and as one HTML file.

What a report says is gathered (:func:`gather_session`), put into words in the reader's language
(:func:`session_report`), and written down alike by :func:`report_pdf` and :func:`report_html`.
"""

from spikecheck.reports.contents import session_report
from spikecheck.reports.gathering import gather_session
from spikecheck.reports.html_file import report_html
from spikecheck.reports.pdf_file import report_pdf
from spikecheck.reports.thumbnails import make_gallery

__all__ = ["gather_session", "make_gallery", "report_html", "report_pdf", "session_report"]
