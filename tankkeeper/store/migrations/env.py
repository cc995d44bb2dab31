"""Runs migrations on the connection that `store.upgrade` hands over, inside its transaction."""

from alembic import context

from tankkeeper.store.tables import METADATA

# Batch mode: SQLite changes most things of a table only by building it anew.
context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
