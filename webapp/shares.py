"""Links that show one piece to whoever has them; a link's token is told once and kept as its SHA-256 only."""

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from urllib.parse import urlsplit

from sqlalchemy import Engine, delete, insert, select

from webapp.database import transaction
from webapp.documents import MissingError
from webapp.schema import PIECES, SHARES
from webapp.secret import digest
from webapp.security import LOOPBACK

TOKEN_BYTES = 24
"""Random bytes of a token: 192 bits, more than anyone guesses."""


@dataclass(frozen=True, slots=True)
class Share:
    """A link to a piece, without its token."""

    id: str
    made: datetime


@dataclass(frozen=True, slots=True)
class Sharing:
    """A piece's links as its page shows them: ``link`` is one that was made just now, told this once."""

    shares: Sequence[Share] = ()
    link: str = ""
    is_open: bool = False

    @property
    def is_local(self) -> bool:
        """Whether the link leads to this computer under a name that nobody else can reach."""
        return urlsplit(self.link).hostname in LOOPBACK


class Shares:
    """The links that are kept. Every call is one transaction."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def of(self, piece: str) -> list[Share]:
        """The links to a piece, the last made first."""
        with transaction(self._engine) as connection:
            found = connection.execute(select(SHARES).where(SHARES.c.piece == piece).order_by(SHARES.c.made.desc()))
            return [Share(row.id, row.made) for row in found]

    def make(self, piece: str) -> str:
        """Make a link to a piece and return its token, which nobody is told again.

        Raises
        ------
        MissingError
            No such piece, or it is deleted.
        """
        token = secrets.token_urlsafe(TOKEN_BYTES)
        share = {"id": secrets.token_urlsafe(12), "piece": piece, "token": digest(token), "made": datetime.now(UTC)}
        with transaction(self._engine) as connection:
            here = select(PIECES.c.id).where(PIECES.c.id == piece, PIECES.c.deleted.is_(None))
            if connection.scalar(here) is None:
                raise MissingError(piece)
            connection.execute(insert(SHARES).values(share))
        return token

    def end(self, piece: str, id: str) -> None:
        """Have a link to a piece lead nowhere any more."""
        with transaction(self._engine) as connection:
            connection.execute(delete(SHARES).where(SHARES.c.piece == piece, SHARES.c.id == id))

    def piece(self, token: str) -> str:
        """The handle of the piece that a token shows.

        Raises
        ------
        MissingError
            There is no such link, or it was ended.
        """
        with transaction(self._engine) as connection:
            found = connection.scalar(select(SHARES.c.piece).where(SHARES.c.token == digest(token)))
        if found is None:
            raise MissingError("share")
        return str(found)
