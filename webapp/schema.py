"""The tables that the store keeps its documents in."""

from datetime import datetime

from sqlalchemy import DateTime, String, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column


class Base(DeclarativeBase):
    """What every table is of."""


class PieceRow(Base):
    """A piece's text."""

    __tablename__ = "pieces"

    id: Mapped[str] = mapped_column(String(40), primary_key=True)
    name: Mapped[str] = mapped_column(String(80))
    document: Mapped[str] = mapped_column(Text)
    revision: Mapped[int]
    changed: Mapped[datetime] = mapped_column(DateTime(timezone=True))
    deleted: Mapped[datetime | None] = mapped_column(DateTime(timezone=True))


class ClimateRow(Base):
    """A named climate."""

    __tablename__ = "climates"

    id: Mapped[str] = mapped_column(String(40), primary_key=True)
    name: Mapped[str] = mapped_column(String(80), unique=True)
    document: Mapped[str] = mapped_column(Text)
    changed: Mapped[datetime] = mapped_column(DateTime(timezone=True))


class DeletedClimateRow(Base):
    """A named climate that was deleted and can be brought back."""

    __tablename__ = "deleted_climates"

    id: Mapped[str] = mapped_column(String(40), primary_key=True)
    name: Mapped[str] = mapped_column(String(80))
    document: Mapped[str] = mapped_column(Text)
    changed: Mapped[datetime] = mapped_column(DateTime(timezone=True))
    deleted: Mapped[datetime] = mapped_column(DateTime(timezone=True))


class SpeciesRow(Base):
    """A species of the maker's own."""

    __tablename__ = "species"

    name: Mapped[str] = mapped_column(String(80), primary_key=True)
    document: Mapped[str] = mapped_column(Text)


class TickRow(Base):
    """A step of making that is done for a part or a frame of a piece."""

    __tablename__ = "ticks"

    piece: Mapped[str] = mapped_column(String(40), primary_key=True)
    part: Mapped[str] = mapped_column(String(40), primary_key=True)
    step: Mapped[str] = mapped_column(String(20), primary_key=True)
    made: Mapped[str] = mapped_column(String(80))
    ticked: Mapped[datetime] = mapped_column(DateTime(timezone=True))


class MarkRow(Base):
    """A small fact about the store itself."""

    __tablename__ = "marks"

    name: Mapped[str] = mapped_column(String(40), primary_key=True)
    value: Mapped[str] = mapped_column(String(200))
