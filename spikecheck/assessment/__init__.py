"""From findings to pass or review, reasons and risk."""
