"""What was deleted can be brought back for a while; after that it is gone for good."""

from datetime import UTC, datetime, timedelta

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from webapp.schema import DeletedClimateRow, PieceRow, ShareRow, TickRow

KEPT_FOR = timedelta(days=30)
"""How long what was deleted can be brought back; our own choice."""


def purge(session: Session, now: datetime | None = None) -> int:
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
    pieces = session.scalars(select(PieceRow.id).where(PieceRow.deleted < before)).all()
    climates = session.scalars(select(DeletedClimateRow.id).where(DeletedClimateRow.deleted < before)).all()
    for id in pieces:
        gone = delete(PieceRow).where(PieceRow.id == id, PieceRow.deleted < before).returning(PieceRow.id)
        if session.scalars(gone).one_or_none():  # unless somebody has just brought it back
            session.execute(delete(TickRow).where(TickRow.piece == id))
            session.execute(delete(ShareRow).where(ShareRow.piece == id))
    for id in climates:
        session.execute(delete(DeletedClimateRow).where(DeletedClimateRow.id == id))
    return len(pieces) + len(climates)
