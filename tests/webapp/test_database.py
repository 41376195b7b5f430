"""How a database is reached, and what its failures are in words."""

import os
import sqlite3
from pathlib import Path

import pytest
from sqlalchemy.exc import IntegrityError, OperationalError, TimeoutError

from webapp import database
from webapp.database import StorageError, address, plainly
from webapp.settings import Settings
from webapp.store import Store


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("postgres://shop@db/panels", "postgresql+psycopg://shop@db/panels"),
        ("postgresql://shop:p%40ss@db:5433/panels?sslmode=require", None),
        ("postgresql+psycopg://shop@db/panels", "postgresql+psycopg://shop@db/panels"),
        ("sqlite:////srv/panels.sqlite3", "sqlite:////srv/panels.sqlite3"),
    ],
)
def test_a_plain_address_is_understood(typed: str, meant: str | None) -> None:
    expected = meant or typed.replace("postgresql://", "postgresql+psycopg://")
    assert address(typed).render_as_string(hide_password=False) == expected


@pytest.mark.parametrize("typed", ["panels", "", "mysql://db/panels", "postgresql://db:port/panels", "http://db"])
def test_what_is_no_address_of_a_database_we_speak_to_is_refused(typed: str) -> None:
    with pytest.raises(ValueError, match=r"address of a database|not supported"):
        address(typed)


@pytest.mark.parametrize(
    ("ours", "plain", "used"),
    [
        (None, None, "sqlite"),
        (None, "postgres://db/plain", "plain"),
        ("postgres://db/ours", "postgres://db/plain", "ours"),
        ("", "postgres://db/plain", "sqlite"),
    ],
)
def test_our_own_setting_goes_before_the_plain_one(
    monkeypatch: pytest.MonkeyPatch, ours: str | None, plain: str | None, used: str
) -> None:
    for name, value in (("PANEL_FIT_DATABASE_URL", ours), ("DATABASE_URL", plain)):
        monkeypatch.delenv(name, raising=False)
        if value is not None:
            monkeypatch.setenv(name, value)
    assert used in Settings().database


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("database or disk is full", "the disk is full"),
        ('could not extend file "base/1": No space left on device', "the disk is full"),
        ("attempt to write a readonly database", "cannot be written"),
        ("cannot execute UPDATE in a read-only transaction", "only be read"),
        ("database is locked", "another program holds it"),
        ("FATAL:  sorry, too many clients already", "too many are connected"),
        ('FATAL:  password authentication failed for user "x"', "refuses the user or the password"),
        ("connection refused", "the database does not answer"),
        ("server closed the connection unexpectedly", "the database does not answer"),
    ],
)
def test_what_the_database_says_is_told_in_words(said: str, words: str) -> None:
    with pytest.raises(StorageError, match=words), plainly():
        raise OperationalError("UPDATE", {}, Exception(said))


def test_too_many_at_once_is_told_in_words() -> None:
    with pytest.raises(StorageError, match="too many requests at once"), plainly():
        raise TimeoutError("QueuePool limit reached")


def test_a_broken_rule_of_the_tables_is_left_to_who_knows_what_it_means() -> None:
    with pytest.raises(IntegrityError), plainly():
        raise IntegrityError("INSERT", {}, Exception("UNIQUE constraint failed"))


# a folder that cannot be written


def test_a_database_in_a_folder_that_cannot_be_written_is_still_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As the superuser's tests cannot lock themselves out of a folder, the system's answer is stood in for here."""
    file = tmp_path / "a # 100 % “piece”.sqlite3"
    store = Store(f"sqlite:///{file}")
    store.prepare()
    kept = store.add_piece("Dresser", "{}")
    store.close()
    assert [path.name for path in tmp_path.iterdir()] == [file.name]
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    locked = Store(f"sqlite:///{file}")
    locked.prepare()
    assert locked.piece(kept.id) == kept
    with pytest.raises(StorageError, match="its file or folder cannot be written"):
        locked.add_piece("Lost", "{}")
    assert locked.pieces() == [kept]
    locked.close()
    assert [path.name for path in tmp_path.iterdir()] == [file.name]


class Held:
    """A cursor of a database that is held so many times before it is free."""

    def __init__(self, times: int, error: str = "database is locked") -> None:
        self.times, self.error = times, error

    def execute(self, statement: str) -> None:
        assert statement == "PRAGMA journal_mode=WAL"
        self.times -= 1
        if self.times >= 0:
            raise sqlite3.OperationalError(self.error)


def test_a_new_database_that_others_open_at_the_same_moment_is_waited_for() -> None:
    held = Held(3)
    database._write_ahead(held)  # type: ignore[arg-type]
    assert held.times == -1


def test_but_not_for_ever_nor_where_it_fails_otherwise(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(sqlite3.OperationalError, match="unable to open"):
        database._write_ahead(Held(3, "unable to open database file"))  # type: ignore[arg-type]
    monkeypatch.setattr(database, "BUSY", -1.0)
    with pytest.raises(sqlite3.OperationalError, match="locked"):
        database._write_ahead(Held(3))  # type: ignore[arg-type]
