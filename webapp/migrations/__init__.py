"""The versions of the tables, and the way from any of them to the newest."""

from pathlib import Path

from sqlalchemy import Connection, Engine, inspect
from sqlalchemy.exc import DatabaseError

from webapp.database import StorageError, hold

FIRST = "0001"
HEAD = "0003"
"""The version of the tables in `webapp.schema`; versions are counted in four digits."""
NEWER = "it was made by a later version of Seasonal Panel Fit"
_LOCK = 0x5EA50A1


def version(connection: Connection) -> str | None:
    """The version of a database's tables; None where it was never told."""
    try:
        return _told(connection)
    except DatabaseError:
        connection.rollback()
        if inspect(connection).has_table("alembic_version"):  # made meanwhile by another, or something else is wrong
            return _told(connection)
        return None


def _told(connection: Connection) -> str | None:
    return connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()


def is_known(name: object) -> bool:
    """Whether a version is one that there is a way up from."""
    return name in {f"{number:04}" for number in range(int(FIRST), int(HEAD) + 1)}


def upgrade(engine: Engine, to: str = HEAD) -> None:
    """Bring the tables to a version, in one transaction, if they are behind it.

    Several processes may do so at once: the first does it and the others wait.

    Raises
    ------
    StorageError
        The tables are of a version that is not known here.
    """
    with engine.connect() as connection:
        now = version(connection)
    if now == to:
        return
    if now is not None and not is_known(now):
        raise StorageError(NEWER)
    from alembic import command  # not needed, nor waited for, by a server whose tables are up to date
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent).replace("%", "%%"))
    with engine.begin() as connection:
        hold(connection, _LOCK)
        config.attributes["connection"] = connection
        command.upgrade(config, to)
