"""Lets alembic run on the connection the store has opened."""

from alembic import context

from jambwright.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"], target_metadata=metadata, render_as_batch=True
)
with context.begin_transaction():
    context.run_migrations()
