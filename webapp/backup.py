"""Everything that is kept, in one file that any database of ours can be restored from: JSON lines.

The first line tells the version of the format and of the tables; a line for every row follows; the last one tells how
many rows there are of each table, and the SHA-256 of all the lines before it.
"""

import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from tempfile import NamedTemporaryFile, TemporaryDirectory
from typing import IO, Any

from sqlalchemy import Column, Connection, DateTime, Engine, Integer, MetaData, Table, delete, insert, select
from sqlalchemy.exc import IntegrityError

from webapp import migrations
from webapp.database import connected, hold, plainly
from webapp.schema import ENDED_SESSIONS, PIECES, TABLES

FORMAT = 1
_MARK = "seasonal_panel_fit_backup"
_LOCK = 0x5EA50A2
_BATCH = 500
_TABLES = tuple(TABLES.sorted_tables)
Row = Mapping[str, Any]


class BackupError(ValueError):
    """A file that cannot be written, or that nothing can be restored from; nothing was changed."""


def back_up(engine: Engine, path: Path) -> dict[str, int]:
    """Write everything into a new file, as it is at one moment; others may go on writing meanwhile.

    Returns
    -------
    dict
        Rows by table.

    Raises
    ------
    BackupError
        There is such a file, or it cannot be written.
    StorageError
        The database cannot be read, or its tables are of another version.
    """
    with plainly():
        migrations.upgrade(engine)
        with _at_one_moment(engine) as connection:
            return _write(connection, path)


def restore(engine: Engine, path: Path, aside: Path) -> dict[str, int]:
    """Put what a file holds in place of everything that is kept, in one transaction; a server may be running.

    A piece that changes by this counts one revision more than it had, so that whoever has it open is told; a session
    that was ended stays ended.

    Parameters
    ----------
    aside : Path
        A new file for what was kept until now; restoring it undoes this.

    Returns
    -------
    dict
        Rows by table.

    Raises
    ------
    BackupError
        The file is no backup of ours, is damaged, or was made by a later version; or the other cannot be written.
    StorageError
        The database cannot be used.
    """
    with TemporaryDirectory() as folder:
        scratch = connected(f"sqlite:///{Path(folder) / 'restored.sqlite3'}")
        try:
            counts = _fill(scratch, path)
            migrations.upgrade(scratch)
            with plainly():
                migrations.upgrade(engine)
                with scratch.connect() as source, _alone(engine) as target:
                    _write(target, aside)
                    _replace(source, target)
        finally:
            scratch.dispose()
    return counts


# writing


@contextmanager
def _at_one_moment(engine: Engine) -> Iterator[Connection]:
    """A connection that sees nothing of what is changed from now on."""
    with engine.connect() as connection:
        if engine.dialect.name == "sqlite":
            connection.exec_driver_sql("BEGIN")
        else:
            connection.execution_options(isolation_level="REPEATABLE READ")
        yield connection


def _write(connection: Connection, path: Path) -> dict[str, int]:
    if path.exists():
        raise BackupError(f"There is a file {path} already; nothing was written over it.")
    part = None
    try:
        with NamedTemporaryFile(dir=path.parent, prefix=f"{path.name}.", delete=False) as file:
            part = Path(file.name)
            counts = _write_lines(connection, file)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError as error:
        raise BackupError(f"The file {path} cannot be written: {error.strerror or error}.") from None
    finally:
        if part is not None:
            part.unlink(missing_ok=True)
    return counts


def _write_lines(connection: Connection, file: IO[bytes]) -> dict[str, int]:
    digest = hashlib.sha256()

    def put(line: Row) -> None:
        text = json.dumps(line, ensure_ascii=False, default=_moment).encode() + b"\n"
        digest.update(text)
        file.write(text)

    counts = {}
    put({_MARK: FORMAT, "schema": migrations.version(connection), "made": datetime.now(UTC)})
    for table in _TABLES:
        counts[table.name] = 0
        for row in connection.execute(select(table).order_by(*table.primary_key)).mappings():
            put({"table": table.name, "row": dict(row)})
            counts[table.name] += 1
    put({"rows": counts, "sha256": digest.hexdigest()})
    return counts


def _moment(value: object) -> str:
    assert isinstance(value, datetime)
    return value.astimezone(UTC).isoformat()


# reading


def _fill(scratch: Engine, path: Path) -> dict[str, int]:
    """Put a file's rows into an empty database that has the tables of the file's version."""
    damaged = BackupError(f"The file {path} is damaged: it is not as it was written.")
    try:
        with path.open("rb") as file:
            digest = hashlib.sha256()
            first = file.readline()
            digest.update(first)
            migrations.upgrade(scratch, _schema(first, path))
            tables = MetaData()
            counts: dict[str, int] = {}
            with scratch.begin() as connection:
                tables.reflect(connection)
                tables.remove(tables.tables["alembic_version"])
                batch: list[Row] = []
                name = ""
                for text in file:
                    line = json.loads(text)
                    if "sha256" in line:
                        _insert(connection, tables, name, batch)
                        if line["sha256"] != digest.hexdigest() or _counted(line["rows"]) != counts or file.read(1):
                            raise damaged
                        return counts
                    digest.update(text)
                    if line["table"] != name or len(batch) == _BATCH:
                        _insert(connection, tables, name, batch)
                        name, batch = line["table"], []
                    batch.append(_row(tables.tables[name], line["row"]))
                    counts[name] = counts.get(name, 0) + 1
            raise damaged  # its end is missing
    except OSError as error:
        raise BackupError(f"The file {path} cannot be read: {error.strerror or error}.") from None
    except (KeyError, TypeError, ValueError, IntegrityError) as error:
        raise error if isinstance(error, BackupError) else damaged from None


def _schema(line: bytes, path: Path) -> str:
    """The version of the tables that a file's first line tells."""
    try:
        head = json.loads(line)
        form, schema = head[_MARK], head["schema"]
    except (KeyError, TypeError, ValueError):
        raise BackupError(f"The file {path} is no backup of Seasonal Panel Fit.") from None
    if form != FORMAT or not migrations.is_known(schema):
        raise BackupError(f"The file {path} cannot be restored here: {migrations.NEWER}.")
    return str(schema)


def _counted(rows: Mapping[str, int]) -> dict[str, int]:
    return {name: count for name, count in rows.items() if count}


def _insert(connection: Connection, tables: MetaData, name: str, rows: list[Row]) -> None:
    if rows:
        connection.execute(insert(tables.tables[name]), rows)


def _row(table: Table, row: Any) -> Row:
    """A row as its table takes it.

    Raises
    ------
    ValueError
        It has other columns, or a value that does not go into its column.
    """
    if not isinstance(row, dict) or row.keys() != set(table.columns.keys()):
        raise ValueError(table.name)
    return {column.name: _value(column, row[column.name]) for column in table.columns}


def _value(column: Column[Any], value: Any) -> Any:
    if value is None and column.nullable:
        return None
    if isinstance(column.type, Integer):
        fits = type(value) is int
    else:
        fits = isinstance(value, str) and len(value) <= (getattr(column.type, "length", None) or len(value))
    if not fits:
        raise ValueError(column.name)
    return datetime.fromisoformat(value).astimezone(UTC) if isinstance(column.type, DateTime) else value


# putting in place


@contextmanager
def _alone(engine: Engine) -> Iterator[Connection]:
    """A transaction in which nobody else changes anything."""
    with engine.begin() as connection:
        hold(connection, _LOCK)
        if engine.dialect.name != "sqlite":
            names = ", ".join(table.name for table in _TABLES)
            connection.exec_driver_sql(f"LOCK TABLE {names} IN EXCLUSIVE MODE")
        yield connection


def _replace(source: Connection, target: Connection) -> None:
    kept = {row.id: row for row in target.execute(select(PIECES))}
    ended = set(target.scalars(select(ENDED_SESSIONS.c.id)))
    for table in _TABLES:
        if table is not ENDED_SESSIONS:
            target.execute(delete(table))
        batch: list[dict[str, Any]] = []
        for found in source.execute(select(table)):
            row = dict(found._mapping)
            if table is ENDED_SESSIONS and row["id"] in ended:
                continue
            if table is PIECES and (before := kept.get(row["id"])) is not None and found != before:
                row["revision"] = max(row["revision"], before.revision + 1)
            batch.append(row)
            if len(batch) == _BATCH:
                target.execute(insert(table), batch)
                batch = []
        if batch:
            target.execute(insert(table), batch)
