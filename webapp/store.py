"""What the app keeps: pieces, named climates and the maker's own species, in SQLite or another SQL database."""

import secrets
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import delete, select, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session, sessionmaker
from sqlalchemy.orm.exc import StaleDataError

from webapp import migrations
from webapp.database import StorageError, connected, plainly
from webapp.purge import purge
from webapp.schema import ClimateRow, DeletedClimateRow, MarkRow, PieceRow, SpeciesRow, TickRow

TRIES = 100
"""How often a change of a piece is made anew because another was faster."""
_EDITION = "edition"
_EDITION_QUERY = f"SELECT value FROM marks WHERE name = '{_EDITION}'"


class MissingError(LookupError):
    """Nothing is kept under this handle."""


class ConflictError(Exception):
    """A piece was changed by someone else since it was read; nothing was overwritten."""

    def __init__(self, revision: int) -> None:
        self.revision = revision
        super().__init__(f"The piece is at revision {revision} by now.")


class TakenError(ValueError):
    """The name is in use."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A document with its handle. ``revision`` counts a piece's saves; climates have 0."""

    id: str
    name: str
    document: str
    revision: int
    changed: datetime
    deleted: bool = False


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
        self._sessions = sessionmaker(self.engine, expire_on_commit=False)
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
        with self._session() as session:
            return purge(session)

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

    @contextmanager
    def _session(self) -> Iterator[Session]:
        try:
            with plainly(), self._sessions.begin() as session:
                yield session
        except StaleDataError as error:
            raise MissingError("deleted meanwhile") from error

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
        with self._session() as session:
            found = session.scalars(
                select(PieceRow).where(PieceRow.deleted.is_(None)).order_by(PieceRow.changed.desc(), PieceRow.id)
            )
            return [_kept(row) for row in found]

    def piece(self, id: str) -> Kept:
        """A piece, also one that is deleted and can still be brought back.

        Raises
        ------
        MissingError
            No such piece.
        """
        with self._session() as session:
            return _kept(_get(session, PieceRow, id))

    def add_piece(self, name: str, document: str) -> Kept:
        """Keep a new piece."""
        with self._session() as session:
            row = PieceRow(id=_handle(), name=name, document=document, revision=1, changed=_now(), deleted=None)
            session.add(row)
            return _kept(row)

    def save_piece(self, id: str, name: str, document: str, revision: int) -> Kept:
        """Keep a piece's new text over the revision that it was made from.

        Raises
        ------
        MissingError
            No such piece, or it is deleted.
        ConflictError
            The piece has another revision by now.
        """
        with self._session() as session:
            statement = (
                update(PieceRow)
                .where(PieceRow.id == id, PieceRow.revision == revision, PieceRow.deleted.is_(None))
                .values(name=name, document=document, revision=revision + 1, changed=_now())
            )
            changed = session.execute(statement).rowcount  # type: ignore[attr-defined]
            row = _get(session, PieceRow, id)
            if row.deleted is not None:
                raise MissingError(id)
            if not changed:
                raise ConflictError(row.revision)
            return _kept(row)

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
        with self._session() as session:
            _get(session, PieceRow, id).deleted = _now()
            purge(session)

    def restore_piece(self, id: str) -> None:
        """Bring a deleted piece back.

        Raises
        ------
        MissingError
            No such piece.
        """
        with self._session() as session:
            _get(session, PieceRow, id).deleted = None

    # ticks

    def ticks(self, piece: str) -> list[Tick]:
        """What is ticked off of a piece; also of parts that it no longer has, which may be put back."""
        with self._session() as session:
            found = session.scalars(select(TickRow).where(TickRow.piece == piece).order_by(TickRow.part, TickRow.step))
            return [Tick(row.part, row.step, row.made, row.ticked) for row in found]

    def tick(self, piece: str, part: str, step: str, made: str) -> None:
        """Tick a step off, anew where it was ticked already."""
        try:
            with self._session() as session:
                session.merge(TickRow(piece=piece, part=part, step=step, made=made, ticked=_now()))
        except IntegrityError:
            return  # another request has just ticked it

    def untick(self, piece: str, part: str, step: str) -> None:
        """Take a tick back, if there is one."""
        with self._session() as session:
            session.execute(delete(TickRow).where(TickRow.piece == piece, TickRow.part == part, TickRow.step == step))

    # climates

    def climates(self) -> list[Kept]:
        """Every named climate, by name."""
        with self._session() as session:
            return [_kept(row) for row in session.scalars(select(ClimateRow).order_by(ClimateRow.name))]

    def climate(self, id: str) -> Kept:
        """A named climate.

        Raises
        ------
        MissingError
            No such climate.
        """
        with self._session() as session:
            return _kept(_get(session, ClimateRow, id))

    def save_climate(self, name: str, document: str, id: str | None = None) -> Kept:
        """Keep a new climate, or an old one's new name and text.

        Raises
        ------
        MissingError
            No such climate.
        TakenError
            Another climate has this name.
        """
        try:
            with self._session() as session:
                row = ClimateRow(id=_handle()) if id is None else _get(session, ClimateRow, id)
                row.name, row.document, row.changed = name, document, _now()
                session.add(row)
                session.flush()
                _turn(session)
                return _kept(row)
        except IntegrityError:
            raise TakenError(f"There is a climate named “{name}” already.") from None

    def delete_climate(self, id: str) -> Kept:
        """Put a climate away and return what it was; `restore_climate` brings it back, as long as it is not purged.

        Raises
        ------
        MissingError
            No such climate.
        """
        with self._session() as session:
            row = _taken_out(session, ClimateRow, id)
            gone = DeletedClimateRow(id=id, name=row.name, document=row.document, changed=row.changed, deleted=_now())
            session.add(gone)
            purge(session)
            _turn(session)
            return _kept(row)

    def deleted_climate(self, id: str) -> Kept:
        """A climate that was deleted and can still be brought back.

        Raises
        ------
        MissingError
            No such climate.
        """
        with self._session() as session:
            return _kept(_get(session, DeletedClimateRow, id))

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
            with self._session() as session:
                gone = _taken_out(session, DeletedClimateRow, id)
                wanted = name or gone.name
                row = ClimateRow(id=id, name=wanted, document=gone.document, changed=gone.changed)
                session.add(row)
                session.flush()
                _turn(session)
                return _kept(row)
        except IntegrityError:
            raise TakenError(f"There is a climate named “{wanted}” already.") from None

    # species

    def species(self) -> list[tuple[str, str]]:
        """(name, document) of every species of the maker's own, by name."""
        with self._session() as session:
            return [(row.name, row.document) for row in session.scalars(select(SpeciesRow).order_by(SpeciesRow.name))]

    def save_species(self, name: str, document: str) -> None:
        """Keep a species of the maker's own, over one of the same name."""
        for _ in range(2):
            try:
                with self._session() as session:
                    session.merge(SpeciesRow(name=name, document=document))
                    _turn(session)
                    return
            except IntegrityError:
                continue  # another request has just kept the first of this name

    def delete_species(self, name: str) -> str:
        """Delete a species of the maker's own and return its text.

        Raises
        ------
        MissingError
            No such species.
        """
        with self._session() as session:
            row = _taken_out(session, SpeciesRow, name)
            _turn(session)
            return str(row.document)

    # marks

    def mark(self, name: str) -> str | None:
        """A small fact about the store itself, such as that the demo was laid out."""
        with self._session() as session:
            row = session.get(MarkRow, name)
            return row.value if row else None

    def set_mark(self, name: str, value: str) -> bool:
        """Set a mark; False where it was set already."""
        if self.mark(name) is not None:
            return False
        try:
            with self._session() as session:
                session.add(MarkRow(name=name, value=value))
            return True
        except IntegrityError:
            return False


def _turn(session: Session) -> None:
    """Another edition from this change on."""
    session.execute(update(MarkRow).where(MarkRow.name == _EDITION).values(value=_handle()))


def _handle() -> str:
    return secrets.token_urlsafe(12)


def _now() -> datetime:
    return datetime.now(UTC)


def _get(session: Session, kind: Any, id: str) -> Any:
    row = session.get(kind, id)
    if row is None:
        raise MissingError(id)
    return row


def _taken_out(session: Session, kind: Any, id: str) -> Any:
    """Delete a row and return it as it was at that moment."""
    key = kind.__table__.primary_key.columns[0]
    row = session.scalars(delete(kind).where(key == id).returning(kind)).one_or_none()
    if row is None:
        raise MissingError(id)
    return row


def _kept(row: Any) -> Kept:
    return Kept(
        row.id,
        row.name,
        row.document,
        getattr(row, "revision", 0),
        row.changed,
        getattr(row, "deleted", None) is not None,
    )
