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


class SpeciesRow(Base):
    """A species of the maker's own."""

    __tablename__ = "species"

    name: Mapped[str] = mapped_column(String(80), primary_key=True)
    document: Mapped[str] = mapped_column(Text)


class MarkRow(Base):
    """A small fact about the store itself."""

    __tablename__ = "marks"

    name: Mapped[str] = mapped_column(String(40), primary_key=True)
    value: Mapped[str] = mapped_column(String(200))
