"""Documents as the tables of the store keep them, row by row: read, added, changed as they were read, taken out."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Table, delete, insert, select, update


class MissingError(LookupError):
    """Nothing is kept under this handle."""


class ChangedError(Exception):
    """A climate or a species was changed by someone else since it was read; nothing was overwritten."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A document with its handle. ``revision`` counts a piece's saves; climates have 0."""

    id: str
    name: str
    document: str
    revision: int
    changed: datetime
    deleted: bool = False


def find(connection: Connection, table: Table, id: str) -> Kept:
    """A document.

    Raises
    ------
    MissingError
        The table has none of this handle.
    """
    return kept(_one(connection, table, id))


def add(connection: Connection, table: Table, **values: Any) -> Kept:
    """A new document."""
    return kept(connection.execute(insert(table).values(values).returning(table)).one())


def change(connection: Connection, table: Table, id: str, as_read: Mapping[str, str], **values: Any) -> Any:
    """Change a row, where it still is as it was read, and return it.

    Raises
    ------
    MissingError
        As for `find`.
    ChangedError
        It is not as it was read.
    """
    same = [table.c[name] == value for name, value in as_read.items()]
    statement = update(table).where(_key(table) == id, *same).values(values).returning(table)
    row = connection.execute(statement).one_or_none()
    if row is None:
        _one(connection, table, id)
        raise ChangedError
    return row


def take_out(connection: Connection, table: Table, id: str) -> Any:
    """Delete a row and return it as it was at that moment.

    Raises
    ------
    MissingError
        As for `find`.
    """
    row = connection.execute(delete(table).where(_key(table) == id).returning(table)).one_or_none()
    if row is None:
        raise MissingError(id)
    return row


def kept(row: Any) -> Kept:
    """The document of a row."""
    is_deleted = getattr(row, "deleted", None) is not None
    return Kept(row.id, row.name, row.document, getattr(row, "revision", 0), row.changed, is_deleted)


def _key(table: Table) -> Any:
    return table.primary_key.columns[0]


def _one(connection: Connection, table: Table, id: str) -> Any:
    row = connection.execute(select(table).where(_key(table) == id)).one_or_none()
    if row is None:
        raise MissingError(id)
    return row
