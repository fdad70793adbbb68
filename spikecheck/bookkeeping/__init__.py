"""Ties records, season arithmetic and exchange together: what commands and pages ask for."""
