"""The tables' versions: from the first one, or from before they were counted, to the newest with nothing lost."""

import subprocess
import sys
import tomllib
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, event, inspect

from webapp import migrations
from webapp.database import StorageError, connected
from webapp.schema import TABLES
from webapp.store import Store, Tick

ROOT = Path(__file__).parents[2]
SCRIPTS = ScriptDirectory(str(ROOT / "webapp" / "migrations"))

FIRST = """
CREATE TABLE pieces (id VARCHAR(40) NOT NULL, name VARCHAR(80) NOT NULL, document TEXT NOT NULL,
    revision INTEGER NOT NULL, changed {moment} NOT NULL, deleted {moment}, PRIMARY KEY (id));
CREATE TABLE climates (id VARCHAR(40) NOT NULL, name VARCHAR(80) NOT NULL, document TEXT NOT NULL,
    changed {moment} NOT NULL, PRIMARY KEY (id), UNIQUE (name));
CREATE TABLE species (name VARCHAR(80) NOT NULL, document TEXT NOT NULL, PRIMARY KEY (name));
CREATE TABLE marks (name VARCHAR(40) NOT NULL, value VARCHAR(200) NOT NULL, PRIMARY KEY (name))
"""
"""The first tables as they were made before versions were counted, written down here once and for all."""

TICKS = """
CREATE TABLE ticks (piece VARCHAR(40) NOT NULL, part VARCHAR(40) NOT NULL, step VARCHAR(20) NOT NULL,
    made VARCHAR(80) NOT NULL, ticked {moment} NOT NULL, PRIMARY KEY (piece, part, step));
INSERT INTO ticks VALUES ('p1', 'door', 'cut', '310.100', '2025-11-25 10:00:00')
"""

ROWS = """
INSERT INTO pieces VALUES ('p1', 'Dresser “half-blind” 🪵', '{{"a": 1}}', 7, '2025-11-25 09:07:14.5', NULL);
INSERT INTO pieces VALUES ('p2', 'Put away', '{{}}', 2, '2025-11-24 09:00:00', '2025-11-25 09:00:00');
INSERT INTO climates VALUES ('c1', 'Attic', '{{"kind": "range"}}', '2025-11-25 09:00:00');
INSERT INTO species VALUES ('Apple', '{{"name": "Apple"}}');
INSERT INTO marks VALUES ('demo', '1')
"""

AT_ONCE = """
import os, sys
from alembic import command
from webapp.store import Store
children = []
for _ in range(4):
    child = os.fork()
    if not child:
        store = Store(sys.argv[1])
        store.prepare()
        store.close()
        os._exit(0)
    children.append(child)
sys.exit(any(os.waitpid(child, 0)[1] for child in children))
"""
"""Prepares a store in four processes at once."""


@pytest.fixture
def engine(database: str) -> Iterator[Engine]:
    engine = connected(database)
    yield engine
    engine.dispose()


def run(engine: Engine, statements: str) -> None:
    """Run statements that are parted by semicolons."""
    moment = "DATETIME" if engine.dialect.name == "sqlite" else "TIMESTAMP WITH TIME ZONE"
    with engine.begin() as connection:
        if engine.dialect.name != "sqlite":
            connection.exec_driver_sql("SET LOCAL timezone = 'UTC'")
        for statement in statements.format(moment=moment).split(";"):
            connection.exec_driver_sql(statement)


def first_by_hand(engine: Engine) -> None:
    run(engine, FIRST)


def first_and_ticks_by_hand(engine: Engine) -> None:
    run(engine, FIRST)
    run(engine, TICKS)


def first_version(engine: Engine) -> None:
    migrations.upgrade(engine, migrations.FIRST)


def version(engine: Engine) -> str | None:
    with engine.connect() as connection:
        return migrations.version(connection)


def tables(engine: Engine) -> set[str]:
    with engine.connect() as connection:
        return set(inspect(connection).get_table_names())


def rows(engine: Engine) -> dict[str, list[tuple[Any, ...]]]:
    with engine.connect() as connection:
        return {
            name: [tuple(row) for row in connection.exec_driver_sql(f"SELECT * FROM {name} ORDER BY 1")]
            for name in ("pieces", "climates", "species", "marks")
        }


# the versions


def test_the_versions_are_one_chain_counted_in_four_digits() -> None:
    found = list(reversed([script.revision for script in SCRIPTS.walk_revisions()]))
    assert found == [f"{number:04}" for number in range(1, len(found) + 1)]
    assert (found[0], found[-1]) == (migrations.FIRST, migrations.HEAD)
    files = sorted(path.name[:4] for path in (ROOT / "webapp" / "migrations" / "versions").glob("*.py"))
    assert files == found


def test_the_versions_are_shipped_with_the_package() -> None:
    built = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["hatch"]["build"]
    assert "webapp" in built["targets"]["wheel"]["packages"]
    assert "exclude" not in built["targets"]["wheel"]


def test_a_new_database_has_the_tables_that_the_store_works_with(engine: Engine) -> None:
    migrations.upgrade(engine)
    assert version(engine) == migrations.HEAD
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True, "compare_server_default": True})
        assert compare_metadata(context, TABLES) == []


# from an older database


@pytest.mark.parametrize("made", [first_by_hand, first_and_ticks_by_hand, first_version])
def test_an_older_database_comes_up_with_every_row_as_it_was(
    database: str, engine: Engine, made: Callable[[Engine], None]
) -> None:
    made(engine)
    run(engine, ROWS)
    assert version(engine) == (migrations.FIRST if made is first_version else None)
    before = rows(engine)
    store = Store(database)
    store.prepare()
    assert version(engine) == migrations.HEAD
    after = rows(engine)
    assert {**after, "marks": [row for row in after["marks"] if row[0] != "edition"]} == before
    kept = store.piece("p1")
    assert (kept.name, kept.document, kept.revision) == ("Dresser “half-blind” 🪵", '{"a": 1}', 7)
    assert kept.changed == datetime(2025, 11, 25, 9, 7, 14, 500_000, tzinfo=UTC)
    assert store.piece("p2").deleted
    assert [(one.name, one.document) for one in store.climates()] == [("Attic", '{"kind": "range"}')]
    assert store.species() == [("Apple", '{"name": "Apple"}')]
    ticks = [Tick("door", "cut", "310.100", datetime(2025, 11, 25, 10, tzinfo=UTC))]
    assert store.ticks("p1") == (ticks if made is first_and_ticks_by_hand else [])
    # what is new can be used
    store.tick("p1", "door", "assembled", "")
    store.delete_climate("c1")
    assert store.restore_climate("c1").name == "Attic"
    store.close()


def test_a_database_that_is_up_to_date_is_left_alone(database: str, engine: Engine) -> None:
    migrations.upgrade(engine)
    said: list[str] = []
    event.listen(engine, "before_cursor_execute", lambda *call: said.append(call[2]))
    migrations.upgrade(engine)
    assert said == ["SELECT version_num FROM alembic_version"]


def test_a_start_with_tables_that_are_up_to_date_does_not_wait_for_the_machinery(tmp_path: Path) -> None:
    code = f"""
import sys
from webapp.store import Store
Store("sqlite:///{tmp_path / "a.sqlite3"}").prepare()
print("alembic" in sys.modules)
"""
    said = [subprocess.check_output([sys.executable, "-c", code], cwd=ROOT, text=True).strip() for _ in range(2)]
    assert said == ["True", "False"]


@pytest.mark.parametrize("made", [None, first_by_hand])
def test_several_processes_that_start_at_once_do_it_once(
    database: str, engine: Engine, made: Callable[[Engine], None] | None
) -> None:
    if made:
        made(engine)
        run(engine, ROWS)
    found = subprocess.run([sys.executable, "-W", "error", "-c", AT_ONCE, database], cwd=ROOT, timeout=120, check=False)
    assert found.returncode == 0
    assert version(engine) == migrations.HEAD
    assert len(rows(engine)["pieces"]) == (2 if made else 0)
    assert [name for name, _ in rows(engine)["marks"]].count("edition") == 1


# what goes wrong


def test_a_database_of_a_later_version_is_refused_and_left_alone(database: str, engine: Engine) -> None:
    migrations.upgrade(engine)
    run(engine, "UPDATE alembic_version SET version_num = '9999'")
    store = Store(database)
    with pytest.raises(StorageError, match="later version of Seasonal Panel Fit"):
        store.prepare()
    store.close()
    assert version(engine) == "9999"


def test_a_version_that_cannot_be_finished_leaves_the_database_as_it_was(engine: Engine) -> None:
    first_version(engine)
    run(engine, ROWS)
    before = rows(engine), tables(engine)

    def fail(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        if "deleted_climates" in statement:
            raise OSError("the power went")

    event.listen(engine, "before_cursor_execute", fail)
    with pytest.raises(OSError, match="power"):
        migrations.upgrade(engine)
    event.remove(engine, "before_cursor_execute", fail)
    assert (rows(engine), tables(engine)) == before
    assert version(engine) == migrations.FIRST
    migrations.upgrade(engine)
    assert version(engine) == migrations.HEAD
