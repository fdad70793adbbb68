"""The records: crosses, checks, photos."""
