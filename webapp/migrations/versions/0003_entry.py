"""Links that show a piece to whoever has them, and the times of being in that were ended before they ran out."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make the two tables."""
    op.create_table(
        "shares",
        sa.Column("id", sa.String(40), primary_key=True),
        sa.Column("piece", sa.String(40), nullable=False),
        sa.Column("token", sa.String(64), nullable=False, unique=True),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
    )
    op.create_table(
        "ended_sessions",
        sa.Column("id", sa.String(64), primary_key=True),
        sa.Column("ended", sa.DateTime(timezone=True), nullable=False),
    )
