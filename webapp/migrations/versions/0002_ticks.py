"""What is ticked off of a piece, and climates that were deleted and can be brought back."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the two tables; a database from before versions were counted may have them."""
    op.create_table(
        "ticks",
        sa.Column("piece", sa.String(40), primary_key=True),
        sa.Column("part", sa.String(40), primary_key=True),
        sa.Column("step", sa.String(20), primary_key=True),
        sa.Column("made", sa.String(80), nullable=False),
        sa.Column("ticked", sa.DateTime(timezone=True), nullable=False),
        if_not_exists=True,
    )
    op.create_table(
        "deleted_climates",
        sa.Column("id", sa.String(40), primary_key=True),
        sa.Column("name", sa.String(80), nullable=False),
        sa.Column("document", sa.Text, nullable=False),
        sa.Column("changed", sa.DateTime(timezone=True), nullable=False),
        sa.Column("deleted", sa.DateTime(timezone=True), nullable=False),
        if_not_exists=True,
    )
