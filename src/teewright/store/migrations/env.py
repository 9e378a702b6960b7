"""Runs the migrations on the connection that `teewright.store.migrate` hands over.

The caller has begun the transaction and ends it, so that a migration is done whole or not at
all.
"""

from alembic import context

from teewright.store.schema import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    transactional_ddl=False,
)
context.run_migrations()
