"""Runs the revisions on the connection it is given; Alembic loads this file by its name."""

from alembic import context

from spikecheck.store.tables import metadata

context.configure(connection=context.config.attributes["connection"], target_metadata=metadata)
with context.begin_transaction():
    context.run_migrations()
