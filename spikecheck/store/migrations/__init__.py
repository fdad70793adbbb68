"""How the tables came to be, revision by revision."""
