"""Runs a migration on the connection the book hands over."""

from alembic import context

from studio_lib.jobbook.schema import tables

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=tables, render_as_batch=True)
with context.begin_transaction():
    context.run_migrations()
