"""Papers for the file: what happened in a crossing session, as PDF and as one HTML file."""
