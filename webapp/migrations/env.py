"""Where Alembic begins: on the connection that it is handed, inside the transaction that it finds there."""

from alembic import context

context.configure(connection=context.config.attributes["connection"])
context.run_migrations()
