"""Alembic's entry: it runs the versions on the connection that the service hands over, inside that connection's transaction."""

from alembic import context

from hangworthy.history.sql.tables import METADATA

context.configure(connection=context.config.attributes["connection"], target_metadata=METADATA)
with context.begin_transaction():
    context.run_migrations()
