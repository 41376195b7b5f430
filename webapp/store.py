"""What the app keeps: pieces, named climates and the maker's own species, in SQLite or another SQL database."""

import secrets
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, datetime

from sqlalchemy import Connection, delete, insert, select, update
from sqlalchemy.exc import IntegrityError

from webapp import documents, migrations
from webapp.database import StorageError, connected, plainly, put, transaction
from webapp.documents import Kept, MissingError
from webapp.purge import purge
from webapp.schema import CLIMATES, DELETED_CLIMATES, MARKS, PIECES, SPECIES, TICKS

TRIES = 100
"""How often a change of a piece is made anew because another was faster."""
_EDITION = "edition"
_EDITION_QUERY = f"SELECT value FROM marks WHERE name = '{_EDITION}'"


class ConflictError(Exception):
    """A piece was changed by someone else since it was read; nothing was overwritten."""

    def __init__(self, revision: int) -> None:
        self.revision = revision
        super().__init__(f"The piece is at revision {revision} by now.")


class TakenError(ValueError):
    """The name is in use."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A step of making that is done for a part or a frame; ``made`` is what it was made to."""

    part: str
    step: str
    made: str
    ticked: datetime


class Store:
    """All that is kept. Every call is one transaction: when it returns, the change is on disk."""

    def __init__(self, url: str) -> None:
        self.engine = connected(url)
        self._driver_error = self.engine.dialect.loaded_dbapi.Error

    def prepare(self) -> None:
        """Make the tables, or bring them up to what this version needs.

        Raises
        ------
        StorageError
            The database cannot be used, or a later version made it.
        """
        with plainly():
            migrations.upgrade(self.engine)
        self.set_mark(_EDITION, _handle())

    def purge(self) -> int:
        """Take out for good what was deleted long ago, and return how much that was."""
        with transaction(self.engine) as connection:
            return purge(connection)

    def check(self) -> None:
        """Find out whether everything that is kept can be read.

        Raises
        ------
        StorageError
            The database does not answer, or its tables are of another version.
        """
        with plainly(), self.engine.connect() as connection:
            if migrations.version(connection) != migrations.HEAD:
                raise StorageError("its tables are of another version than this server")

    def close(self) -> None:
        """Let go of the database's connections."""
        self.engine.dispose()

    @property
    def is_at_hand(self) -> bool:
        """Whether the database is a file of this machine, which a reader never has to wait for."""
        return self.engine.dialect.name == "sqlite"

    def edition(self) -> str:
        """A word that is another one after every change of a climate or of a species of the maker's own.

        Cheap enough to be asked on every request: by the driver itself, and by SQLAlchemy, which takes four times as
        long, only where that fails and the failure is to be told in words.
        """
        with plainly():
            with suppress(self._driver_error), closing(self.engine.raw_connection()) as connection:
                cursor = connection.cursor()
                cursor.execute(_EDITION_QUERY)
                return "".join(cursor.fetchone() or ())
            with self.engine.connect() as connected:
                return str(connected.exec_driver_sql(_EDITION_QUERY).scalar_one())

    # pieces

    def pieces(self) -> list[Kept]:
        """Every piece that is not deleted, the last changed first."""
        with transaction(self.engine) as connection:
            here = select(PIECES).where(PIECES.c.deleted.is_(None)).order_by(PIECES.c.changed.desc(), PIECES.c.id)
            return [documents.kept(row) for row in connection.execute(here)]

    def piece(self, id: str) -> Kept:
        """A piece, also one that is deleted and can still be brought back.

        Raises
        ------
        MissingError
            No such piece.
        """
        with transaction(self.engine) as connection:
            return documents.find(connection, PIECES, id)

    def add_piece(self, name: str, document: str) -> Kept:
        """Keep a new piece."""
        with transaction(self.engine) as connection:
            return documents.add(
                connection, PIECES, id=_handle(), name=name, document=document, revision=1, changed=_now()
            )

    def save_piece(self, id: str, name: str, document: str, revision: int) -> Kept:
        """Keep a piece's new text over the revision that it was made from.

        Raises
        ------
        MissingError
            No such piece, or it is deleted.
        ConflictError
            The piece has another revision by now.
        """
        with transaction(self.engine) as connection:
            statement = (
                update(PIECES)
                .where(PIECES.c.id == id, PIECES.c.revision == revision, PIECES.c.deleted.is_(None))
                .values(name=name, document=document, revision=revision + 1, changed=_now())
            )
            changed = connection.execute(statement).rowcount
            kept = documents.find(connection, PIECES, id)
            if kept.deleted:
                raise MissingError(id)
            if not changed:
                raise ConflictError(kept.revision)
            return kept

    def change_piece(self, id: str, change: Callable[[str], tuple[str, str]]) -> Kept:
        """Read, change and keep a piece in one go, again from the start when another writer was faster.

        Parameters
        ----------
        change : callable
            The piece's text to its new name and text.

        Raises
        ------
        MissingError
            No such piece, or it is deleted.
        StorageError
            Others were faster again and again.
        """
        for _ in range(TRIES):
            kept = self.piece(id)
            name, document = change(kept.document)
            try:
                return self.save_piece(id, name, document, kept.revision)
            except ConflictError:
                continue
        raise StorageError("others keep changing this piece")

    def delete_piece(self, id: str) -> None:
        """Put a piece away; `restore_piece` brings it back, as long as it is not purged.

        Raises
        ------
        MissingError
            No such piece.
        """
        with transaction(self.engine) as connection:
            documents.change(connection, PIECES, id, {}, deleted=_now())
            purge(connection)

    def restore_piece(self, id: str) -> None:
        """Bring a deleted piece back.

        Raises
        ------
        MissingError
            No such piece.
        """
        with transaction(self.engine) as connection:
            documents.change(connection, PIECES, id, {}, deleted=None)

    # ticks

    def ticks(self, piece: str) -> list[Tick]:
        """What is ticked off of a piece; also of parts that it no longer has, which may be put back."""
        with transaction(self.engine) as connection:
            found = select(TICKS).where(TICKS.c.piece == piece).order_by(TICKS.c.part, TICKS.c.step)
            return [Tick(row.part, row.step, row.made, row.ticked) for row in connection.execute(found)]

    def tick(self, piece: str, part: str, step: str, made: str) -> None:
        """Tick a step off, anew where it was ticked already."""
        try:
            with transaction(self.engine) as connection:
                put(connection, TICKS, piece=piece, part=part, step=step, made=made, ticked=_now())
        except IntegrityError:
            return  # another request has just ticked it

    def untick(self, piece: str, part: str, step: str) -> None:
        """Take a tick back, if there is one."""
        with transaction(self.engine) as connection:
            this = (TICKS.c.piece == piece, TICKS.c.part == part, TICKS.c.step == step)
            connection.execute(delete(TICKS).where(*this))

    # climates

    def climates(self) -> list[Kept]:
        """Every named climate, by name."""
        with transaction(self.engine) as connection:
            return [documents.kept(row) for row in connection.execute(select(CLIMATES).order_by(CLIMATES.c.name))]

    def climate(self, id: str) -> Kept:
        """A named climate.

        Raises
        ------
        MissingError
            No such climate.
        """
        with transaction(self.engine) as connection:
            return documents.find(connection, CLIMATES, id)

    def save_climate(self, name: str, document: str, over: Kept | None = None) -> Kept:
        """Keep a new climate, or another name and text over those of a kept one, as it was read.

        Raises
        ------
        MissingError
            No such climate.
        ChangedError
            It has another name or text by now.
        TakenError
            Another climate has this name.
        """
        try:
            with transaction(self.engine) as connection:
                now = {"name": name, "document": document, "changed": _now()}
                if over is None:
                    kept = documents.add(connection, CLIMATES, id=_handle(), **now)
                else:
                    as_read = {"name": over.name, "document": over.document}
                    kept = documents.kept(documents.change(connection, CLIMATES, over.id, as_read, **now))
                _turn(connection)
                return kept
        except IntegrityError:
            raise TakenError(f"There is a climate named “{name}” already.") from None

    def delete_climate(self, id: str) -> Kept:
        """Put a climate away and return what it was; `restore_climate` brings it back, as long as it is not purged.

        Raises
        ------
        MissingError
            No such climate.
        """
        with transaction(self.engine) as connection:
            row = documents.take_out(connection, CLIMATES, id)
            connection.execute(insert(DELETED_CLIMATES).values(**row._mapping, deleted=_now()))
            purge(connection)
            _turn(connection)
            return documents.kept(row)

    def deleted_climate(self, id: str) -> Kept:
        """A climate that was deleted and can still be brought back.

        Raises
        ------
        MissingError
            No such climate.
        """
        with transaction(self.engine) as connection:
            return documents.find(connection, DELETED_CLIMATES, id)

    def restore_climate(self, id: str, name: str | None = None) -> Kept:
        """Bring a deleted climate back under its handle, and under another name where one is given.

        Raises
        ------
        MissingError
            No such climate was deleted.
        TakenError
            Another climate has this name by now.
        """
        wanted = name
        try:
            with transaction(self.engine) as connection:
                gone = documents.take_out(connection, DELETED_CLIMATES, id)
                wanted = name or gone.name
                kept = documents.add(
                    connection, CLIMATES, id=id, name=wanted, document=gone.document, changed=gone.changed
                )
                _turn(connection)
                return kept
        except IntegrityError:
            raise TakenError(f"There is a climate named “{wanted}” already.") from None

    # species

    def species(self) -> list[tuple[str, str]]:
        """(name, document) of every species of the maker's own, by name."""
        with transaction(self.engine) as connection:
            return [(row.name, row.document) for row in connection.execute(select(SPECIES).order_by(SPECIES.c.name))]

    def save_species(self, name: str, document: str, over: tuple[str, str] | None = None) -> None:
        """Keep a new species of the maker's own, or one over another, as its name and text were read.

        Raises
        ------
        MissingError
            No such species.
        ChangedError
            It has another text by now.
        TakenError
            Another species has this name.
        """
        try:
            with transaction(self.engine) as connection:
                if over is None:
                    connection.execute(insert(SPECIES).values(name=name, document=document))
                else:
                    documents.change(connection, SPECIES, over[0], {"document": over[1]}, name=name, document=document)
                _turn(connection)
        except IntegrityError:
            raise TakenError(f"There is a species of your own named “{name}” already.") from None

    def delete_species(self, name: str) -> str:
        """Delete a species of the maker's own and return its text.

        Raises
        ------
        MissingError
            No such species.
        """
        with transaction(self.engine) as connection:
            row = documents.take_out(connection, SPECIES, name)
            _turn(connection)
            return str(row.document)

    # marks

    def mark(self, name: str) -> str | None:
        """A small fact about the store itself, such as that the demo was laid out."""
        with transaction(self.engine) as connection:
            value: str | None = connection.scalar(select(MARKS.c.value).where(MARKS.c.name == name))
            return value

    def set_mark(self, name: str, value: str) -> bool:
        """Set a mark; False where it was set already."""
        if self.mark(name) is not None:
            return False
        try:
            with transaction(self.engine) as connection:
                connection.execute(insert(MARKS).values(name=name, value=value))
            return True
        except IntegrityError:
            return False


def _turn(connection: Connection) -> None:
    """Another edition from this change on."""
    connection.execute(update(MARKS).where(MARKS.c.name == _EDITION).values(value=_handle()))


def _handle() -> str:
    return secrets.token_urlsafe(12)


def _now() -> datetime:
    return datetime.now(UTC)
