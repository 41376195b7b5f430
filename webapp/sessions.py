"""Who is in: a signed cookie, good until it runs out, is ended, or the passphrase changes."""

import hashlib
import secrets
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from itsdangerous import BadSignature, TimestampSigner
from sqlalchemy import Engine, delete, select

from webapp.database import put, transaction
from webapp.schema import ENDED_SESSIONS
from webapp.secret import digest

LASTS = 30 * 86_400
"""How long one stays in [s]."""
_NAME_BYTES = 24
_MOST = 200
"""A longer cookie is none of ours [characters]."""


class _Signer(TimestampSigner):
    def __init__(self, secret: bytes, salt: str, clock: Callable[[], float]) -> None:
        super().__init__(secret, salt=salt, key_derivation="hmac", digest_method=hashlib.sha256)
        self._clock = clock

    def get_timestamp(self) -> int:
        return int(self._clock())


class Sessions:
    """Makes and checks the texts of session cookies.

    Parameters
    ----------
    secret : callable
        Tells the server's secret.
    clock : callable
        Tells the time since the epoch [s].
    """

    def __init__(self, engine: Engine, secret: Callable[[], bytes], clock: Callable[[], float] = time.time) -> None:
        self._engine = engine
        self._secret = secret
        self._clock = clock

    def begin(self, hash: str) -> str:
        """A new session under the passphrase of this hash."""
        return self._signer(hash).sign(secrets.token_urlsafe(_NAME_BYTES)).decode()

    def is_open(self, cookie: str, hash: str) -> bool:
        """Whether a cookie is that of a session that goes on."""
        name = self._name(cookie, hash)
        if name is None:
            return False
        with transaction(self._engine) as connection:
            return connection.scalar(select(ENDED_SESSIONS.c.id).where(ENDED_SESSIONS.c.id == name)) is None

    def end(self, cookie: str, hash: str) -> None:
        """End a session; those that have run out by themselves need not be known any longer."""
        name = self._name(cookie, hash)
        if name is None:
            return
        now = datetime.fromtimestamp(self._clock(), UTC)
        with transaction(self._engine) as connection:
            over = now - timedelta(seconds=LASTS)
            connection.execute(delete(ENDED_SESSIONS).where(ENDED_SESSIONS.c.ended < over))
            put(connection, ENDED_SESSIONS, id=name, ended=now)

    def _name(self, cookie: str, hash: str) -> str | None:
        """The hashed name of the session that a cookie tells, if it is one of ours that has not run out."""
        if len(cookie) > _MOST or not cookie.isascii():
            return None
        try:
            return digest(self._signer(hash).unsign(cookie, max_age=LASTS).decode())
        except BadSignature:
            return None

    def _signer(self, hash: str) -> _Signer:
        return _Signer(self._secret(), f"session.{digest(hash)}", self._clock)
