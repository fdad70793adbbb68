"""Files one check beside its cross."""
