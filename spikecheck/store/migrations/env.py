"""Runs the revisions on the connection it is given; Alembic loads this file by its name."""

from alembic import context

from spikecheck.store import practice_tables, season_tables
from spikecheck.store.tables import metadata

# Named so that the tables of season and practice count among those compared.
_ALL_TABLES = (metadata, season_tables, practice_tables)

context.configure(connection=context.config.attributes["connection"], target_metadata=metadata)
with context.begin_transaction():
    context.run_migrations()
