"""The tables that the store keeps its documents in."""

from datetime import UTC, datetime

from sqlalchemy import DateTime, Dialect, String, Text, TypeDecorator
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column


class Moment(TypeDecorator[datetime]):
    """A moment, always in UTC: SQLite keeps no zone, and PostgreSQL tells it in its own."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """The moment as it was kept."""
        if value is None or value.tzinfo is None:
            return value and value.replace(tzinfo=UTC)
        return value.astimezone(UTC)


class Words(TypeDecorator[str]):
    """A short text without NUL, which PostgreSQL keeps in no text."""

    impl = String
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """The text as it is kept and looked for."""
        return value and value.replace("\0", "")


class Base(DeclarativeBase):
    """What every table is of."""


class PieceRow(Base):
    """A piece's text."""

    __tablename__ = "pieces"

    id: Mapped[str] = mapped_column(Words(40), primary_key=True)
    name: Mapped[str] = mapped_column(Words(80))
    document: Mapped[str] = mapped_column(Text)
    revision: Mapped[int]
    changed: Mapped[datetime] = mapped_column(Moment)
    deleted: Mapped[datetime | None] = mapped_column(Moment)


class ClimateRow(Base):
    """A named climate."""

    __tablename__ = "climates"

    id: Mapped[str] = mapped_column(Words(40), primary_key=True)
    name: Mapped[str] = mapped_column(Words(80), unique=True)
    document: Mapped[str] = mapped_column(Text)
    changed: Mapped[datetime] = mapped_column(Moment)


class DeletedClimateRow(Base):
    """A named climate that was deleted and can be brought back."""

    __tablename__ = "deleted_climates"

    id: Mapped[str] = mapped_column(Words(40), primary_key=True)
    name: Mapped[str] = mapped_column(Words(80))
    document: Mapped[str] = mapped_column(Text)
    changed: Mapped[datetime] = mapped_column(Moment)
    deleted: Mapped[datetime] = mapped_column(Moment)


class SpeciesRow(Base):
    """A species of the maker's own."""

    __tablename__ = "species"

    name: Mapped[str] = mapped_column(Words(80), primary_key=True)
    document: Mapped[str] = mapped_column(Text)


class TickRow(Base):
    """A step of making that is done for a part or a frame of a piece."""

    __tablename__ = "ticks"

    piece: Mapped[str] = mapped_column(Words(40), primary_key=True)
    part: Mapped[str] = mapped_column(Words(40), primary_key=True)
    step: Mapped[str] = mapped_column(Words(20), primary_key=True)
    made: Mapped[str] = mapped_column(Words(80))
    ticked: Mapped[datetime] = mapped_column(Moment)


class ShareRow(Base):
    """A link that shows a piece; of its token only the SHA-256 is kept."""

    __tablename__ = "shares"

    id: Mapped[str] = mapped_column(Words(40), primary_key=True)
    piece: Mapped[str] = mapped_column(Words(40))
    token: Mapped[str] = mapped_column(Words(64), unique=True)
    made: Mapped[datetime] = mapped_column(Moment)


class EndedSessionRow(Base):
    """A session that was ended before it ran out; of its name only the SHA-256 is kept."""

    __tablename__ = "ended_sessions"

    id: Mapped[str] = mapped_column(Words(64), primary_key=True)
    ended: Mapped[datetime] = mapped_column(Moment)


class MarkRow(Base):
    """A small fact about the store itself."""

    __tablename__ = "marks"

    name: Mapped[str] = mapped_column(Words(40), primary_key=True)
    value: Mapped[str] = mapped_column(Words(200))
