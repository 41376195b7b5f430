"""The tables that the store keeps its documents in."""

from datetime import UTC, datetime

from sqlalchemy import Column, DateTime, Dialect, Integer, MetaData, String, Table, Text, TypeDecorator


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


TABLES = MetaData()

PIECES = Table(
    "pieces",
    TABLES,
    Column("id", Words(40), primary_key=True),
    Column("name", Words(80), nullable=False),
    Column("document", Text, nullable=False),
    Column("revision", Integer, nullable=False),
    Column("changed", Moment, nullable=False),
    Column("deleted", Moment),
)
"""Pieces, each with its text."""

CLIMATES = Table(
    "climates",
    TABLES,
    Column("id", Words(40), primary_key=True),
    Column("name", Words(80), unique=True, nullable=False),
    Column("document", Text, nullable=False),
    Column("changed", Moment, nullable=False),
)
"""Named climates."""

DELETED_CLIMATES = Table(
    "deleted_climates",
    TABLES,
    Column("id", Words(40), primary_key=True),
    Column("name", Words(80), nullable=False),
    Column("document", Text, nullable=False),
    Column("changed", Moment, nullable=False),
    Column("deleted", Moment, nullable=False),
)
"""Named climates that were deleted and can be brought back."""

SPECIES = Table(
    "species",
    TABLES,
    Column("name", Words(80), primary_key=True),
    Column("document", Text, nullable=False),
)
"""Species of the maker's own."""

TICKS = Table(
    "ticks",
    TABLES,
    Column("piece", Words(40), primary_key=True),
    Column("part", Words(40), primary_key=True),
    Column("step", Words(20), primary_key=True),
    Column("made", Words(80), nullable=False),
    Column("ticked", Moment, nullable=False),
)
"""Steps of making that are done for a part or a frame of a piece."""

SHARES = Table(
    "shares",
    TABLES,
    Column("id", Words(40), primary_key=True),
    Column("piece", Words(40), nullable=False),
    Column("token", Words(64), unique=True, nullable=False),
    Column("made", Moment, nullable=False),
)
"""Links that show a piece; of a token only the SHA-256 is kept."""

ENDED_SESSIONS = Table(
    "ended_sessions",
    TABLES,
    Column("id", Words(64), primary_key=True),
    Column("ended", Moment, nullable=False),
)
"""Sessions that were ended before they ran out; of a name only the SHA-256 is kept."""

MARKS = Table(
    "marks",
    TABLES,
    Column("name", Words(40), primary_key=True),
    Column("value", Words(200), nullable=False),
)
"""Small facts about the store itself."""
