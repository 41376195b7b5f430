"""What was deleted can be brought back for a while; after that it is gone for good."""

from datetime import UTC, datetime, timedelta

from sqlalchemy import Connection, delete, select

from webapp.schema import DELETED_CLIMATES, PIECES, SHARES, TICKS

KEPT_FOR = timedelta(days=30)
"""How long what was deleted can be brought back; our own choice."""


def purge(connection: Connection, now: datetime | None = None) -> int:
    """Take out for good the pieces and climates that were deleted more than `KEPT_FOR` ago.

    With a piece go its ticks and the links that showed it. Nothing is written where there is nothing to take out.

    Parameters
    ----------
    now : datetime or None
        ``None``: this moment.

    Returns
    -------
    int
        How many pieces and climates were taken out.
    """
    before = (now or datetime.now(UTC)) - KEPT_FOR
    pieces = connection.scalars(select(PIECES.c.id).where(PIECES.c.deleted < before)).all()
    climates = connection.scalars(select(DELETED_CLIMATES.c.id).where(DELETED_CLIMATES.c.deleted < before)).all()
    for id in pieces:
        gone = delete(PIECES).where(PIECES.c.id == id, PIECES.c.deleted < before)
        if connection.execute(gone).rowcount:  # unless somebody has just brought it back
            connection.execute(delete(TICKS).where(TICKS.c.piece == id))
            connection.execute(delete(SHARES).where(SHARES.c.piece == id))
    for id in climates:
        connection.execute(delete(DELETED_CLIMATES).where(DELETED_CLIMATES.c.id == id))
    return len(pieces) + len(climates)
