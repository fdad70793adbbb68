"""Files that others read and write: CSV tables, BrAPI v2.1 JSON."""
