"""Pieces, named climates, species of the maker's own, and marks.

Databases from before versions were counted have some of these tables, or all.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables that are not there."""
    op.create_table(
        "pieces",
        sa.Column("id", sa.String(40), primary_key=True),
        sa.Column("name", sa.String(80), nullable=False),
        sa.Column("document", sa.Text, nullable=False),
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("changed", sa.DateTime(timezone=True), nullable=False),
        sa.Column("deleted", sa.DateTime(timezone=True)),
        if_not_exists=True,
    )
    op.create_table(
        "climates",
        sa.Column("id", sa.String(40), primary_key=True),
        sa.Column("name", sa.String(80), nullable=False, unique=True),
        sa.Column("document", sa.Text, nullable=False),
        sa.Column("changed", sa.DateTime(timezone=True), nullable=False),
        if_not_exists=True,
    )
    op.create_table(
        "species",
        sa.Column("name", sa.String(80), primary_key=True),
        sa.Column("document", sa.Text, nullable=False),
        if_not_exists=True,
    )
    op.create_table(
        "marks",
        sa.Column("name", sa.String(40), primary_key=True),
        sa.Column("value", sa.String(200), nullable=False),
        if_not_exists=True,
    )
