"""Everything that is kept goes into one file and comes back from it, into either kind of database."""

import errno
import hashlib
import json
import os
import sys
import threading
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import httpx
import pytest
from sqlalchemy import Column, Integer, event, insert, select

from tests import servers
from webapp import migrations
from webapp.__main__ import main
from webapp.backup import BackupError, back_up, restore
from webapp.schema import ENDED_SESSIONS, TABLES, Moment
from webapp.store import ConflictError, Store

KINDS = ("sqlite", "postgresql")
TEXT = 'é “half-blind” 🪵\n"quoted"\\ \u2028 and a tab\t'


@pytest.fixture
def made(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Callable[[str], Store]]:
    """Makes empty stores, by the kind of their database."""
    stores: list[Store] = []
    ends: list[Any] = []

    def make(kind: str) -> Store:
        name = f"backup_{os.getpid()}_{id(stores)}_{len(stores)}"
        if kind == "sqlite":
            address = f"sqlite:///{tmp_path / name}"
        else:
            ends.append(servers.database(request.getfixturevalue("postgres"), name))
            address = ends[-1].__enter__()
        stores.append(Store(address))
        stores[-1].prepare()
        return stores[-1]

    yield make
    for store in stores:
        store.close()
    for end in ends:
        end.__exit__(None, None, None)


@pytest.fixture
def store(made: Callable[[str], Store]) -> Store:
    return made("sqlite")


def fill(store: Store) -> None:
    """Put something into every table."""
    dresser = store.add_piece("Dresser", TEXT)
    store.save_piece(dresser.id, "Dresser 🪵", TEXT, 1)
    store.delete_piece(store.add_piece("Put away", "{}").id)
    store.tick(dresser.id, "door", "cut", "310.100")
    store.save_climate("Attic", TEXT)
    store.delete_climate(store.save_climate("Cellar", "{}").id)
    store.save_species("Apple", TEXT)
    store.set_mark("demo", "1")
    with store.engine.begin() as connection:
        for table in TABLES.sorted_tables:
            if connection.execute(select(table)).first() is None:
                connection.execute(insert(table).values({column.name: _some(column) for column in table.columns}))


def _some(column: Column[Any]) -> Any:
    if isinstance(column.type, Moment):
        return datetime(2025, 11, 25, 9, 7, 14, 500_000, tzinfo=UTC)
    return 7 if isinstance(column.type, Integer) else "some “text”"


def rows(store: Store) -> dict[str, list[tuple[Any, ...]]]:
    """All that a store keeps."""
    with store.engine.connect() as connection:
        return {
            table.name: [tuple(row) for row in connection.execute(select(table).order_by(*table.primary_key))]
            for table in TABLES.sorted_tables
        }


def as_file(path: Path, lines: list[dict[str, Any]]) -> Path:
    """A backup of these lines, with its true last line."""
    text = b"".join(json.dumps(line).encode() + b"\n" for line in lines)
    counts: dict[str, int] = {}
    for line in lines[1:]:
        counts[line["table"]] = counts.get(line["table"], 0) + 1
    last = {"rows": counts, "sha256": hashlib.sha256(text).hexdigest()}
    path.write_bytes(text + json.dumps(last).encode() + b"\n")
    return path


HEAD = {"seasonal_panel_fit_backup": 1, "schema": "0001", "made": "2025-11-25T09:00:00+00:00"}
PIECE = {
    "id": "p1",
    "name": "Dresser",
    "document": "{}",
    "revision": 7,
    "changed": "2025-11-25T10:00:00.500000+01:00",
    "deleted": None,
}


# there and back


@pytest.mark.parametrize("to", KINDS)
@pytest.mark.parametrize("kind", KINDS)
def test_everything_comes_back_into_either_kind_of_database(
    made: Callable[[str], Store], tmp_path: Path, kind: str, to: str
) -> None:
    store, other = made(kind), made(to)
    fill(store)
    counts = back_up(store.engine, tmp_path / "backup")
    assert counts == {name: len(found) for name, found in rows(store).items()}
    assert all(counts.values())
    assert restore(other.engine, tmp_path / "backup", tmp_path / "aside") == counts
    assert rows(other) == rows(store)


@pytest.mark.parametrize("kind", KINDS)
def test_what_was_kept_before_goes_aside_and_undoes_a_restore(
    made: Callable[[str], Store], tmp_path: Path, kind: str
) -> None:
    store = made(kind)
    back_up(store.engine, tmp_path / "empty")
    fill(store)
    before = rows(store)
    restore(store.engine, tmp_path / "empty", tmp_path / "aside")
    assert store.pieces() == []
    assert store.climates() == []
    restore(store.engine, tmp_path / "aside", tmp_path / "again")
    assert rows(store) == before


def test_a_file_is_the_same_whatever_database_it_comes_from(made: Callable[[str], Store], tmp_path: Path) -> None:
    store = made("sqlite")
    fill(store)
    back_up(store.engine, tmp_path / "one")
    for number, kind in enumerate(KINDS):
        other = made(kind)
        restore(other.engine, tmp_path / "one", tmp_path / f"aside{number}")
        back_up(other.engine, tmp_path / kind)
        assert (tmp_path / kind).read_bytes().splitlines()[1:-1] == (tmp_path / "one").read_bytes().splitlines()[1:-1]


def test_a_file_of_the_first_version_is_restored_with_every_row(store: Store, tmp_path: Path) -> None:
    lines = [
        HEAD,
        {"table": "pieces", "row": PIECE},
        {"table": "climates", "row": {"id": "c", "name": "Attic", "document": "{}", "changed": PIECE["changed"]}},
        {"table": "marks", "row": {"name": "demo", "value": "1"}},
    ]
    restore(store.engine, as_file(tmp_path / "old", lines), tmp_path / "aside")
    [kept] = store.pieces()
    assert (kept.id, kept.name, kept.revision) == ("p1", "Dresser", 7)
    assert kept.changed.isoformat() == "2025-11-25T09:00:00.500000+00:00"
    assert [one.name for one in store.climates()] == ["Attic"]
    store.tick("p1", "door", "cut", "")
    with store.engine.connect() as connection:
        assert migrations.version(connection) == migrations.HEAD


# while others work


@pytest.mark.parametrize("kind", KINDS)
def test_a_backup_is_of_one_moment_while_others_write(made: Callable[[str], Store], tmp_path: Path, kind: str) -> None:
    store = made(kind)
    first, second = store.add_piece("First", "0").id, store.add_piece("Second", "0").id
    for number in range(200):
        store.add_piece(f"Between {number}", "x" * 1000)
    done = threading.Event()
    failures: list[BaseException] = []

    def write() -> None:
        try:
            while not done.is_set():
                for id in (first, second):
                    store.change_piece(id, lambda document: ("Counted", str(int(document) + 1)))
        except BaseException as error:
            failures.append(error)

    writer = threading.Thread(target=write)
    writer.start()
    found = []
    for number in range(10):
        back_up(store.engine, tmp_path / f"backup{number}")
        lines = [json.loads(line) for line in (tmp_path / f"backup{number}").read_text().splitlines()]
        kept = {
            line["row"]["id"]: int(line["row"]["document"])
            for line in lines
            if line.get("row", {}).get("name") == "Counted"
        }
        found.append((kept.get(first, 0), kept.get(second, 0)))
    done.set()
    writer.join()
    assert failures == []
    assert all(one - other in (0, 1) for one, other in found)
    assert found[-1] > found[0]


@pytest.mark.parametrize("kind", KINDS)
def test_who_writes_during_a_restore_waits_and_loses_nothing(
    made: Callable[[str], Store], tmp_path: Path, kind: str
) -> None:
    store = made(kind)
    fill(store)
    back_up(store.engine, tmp_path / "backup")
    writers: list[threading.Thread] = []
    failures: list[BaseException] = []

    def write() -> None:
        try:
            store.add_piece("Written meanwhile", "{}")
        except BaseException as error:
            failures.append(error)

    def begin(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        if statement.startswith("DELETE") and not writers:
            writers.append(threading.Thread(target=write))
            writers[0].start()

    event.listen(store.engine, "before_cursor_execute", begin)
    restore(store.engine, tmp_path / "backup", tmp_path / "aside")
    writers[0].join()
    assert failures == []
    assert "Written meanwhile" in [kept.name for kept in store.pieces()]


def test_whoever_has_a_piece_open_that_a_restore_changes_is_told(store: Store, tmp_path: Path) -> None:
    changed, same = store.add_piece("Changed", "one"), store.add_piece("Same", "one")
    back_up(store.engine, tmp_path / "backup")
    opened = store.save_piece(changed.id, "Changed", "two", 1)
    restore(store.engine, tmp_path / "backup", tmp_path / "aside")
    assert store.piece(changed.id).document == "one"
    for revision in (1, opened.revision):
        with pytest.raises(ConflictError):
            store.save_piece(changed.id, "Changed", "three", revision)
    assert store.save_piece(same.id, "Same", "two", 1).revision == 2


def test_a_session_that_was_ended_since_stays_ended(store: Store, tmp_path: Path) -> None:
    def ended() -> list[str]:
        with store.engine.connect() as connection:
            return sorted(connection.scalars(select(ENDED_SESSIONS.c.id)))

    def end(name: str) -> None:
        with store.engine.begin() as connection:
            connection.execute(insert(ENDED_SESSIONS).values(id=name, ended=datetime.now(UTC)))

    end("before")
    back_up(store.engine, tmp_path / "backup")
    end("since")
    restore(store.engine, tmp_path / "backup", tmp_path / "aside")
    assert ended() == ["before", "since"]


# what is refused


def edited(text: str, change: Callable[[list[str]], list[str]]) -> str:
    return "".join(change(text.splitlines(keepends=True)))


SPOILT: dict[str, Callable[[str], str]] = {
    "nothing in it": lambda text: "",
    "a letter": lambda text: "Dear reader, this is a letter.\n",
    "other JSON": lambda text: '{"name": "Dresser"}\n',
    "a piece's own file": lambda text: '[{"seasonal_panel_fit_backup": 1}]\n',
    "its end missing": lambda text: edited(text, lambda lines: lines[:-1]),
    "its last half missing": lambda text: text[: len(text) // 2],
    "a row missing": lambda text: edited(text, lambda lines: [*lines[:2], *lines[3:]]),
    "a row twice": lambda text: edited(text, lambda lines: [*lines[:2], *lines[1:]]),
    "a letter changed": lambda text: text.replace("Dresser", "Drawers"),
    "more after its end": lambda text: text + "{}\n",
    "the head alone": lambda text: edited(text, lambda lines: lines[:1]),
    "a later format": lambda text: text.replace('_backup": 1', '_backup": 2', 1),
    "a later version": lambda text: text.replace(f'"schema": "{migrations.HEAD}"', '"schema": "9999"', 1),
    "no version": lambda text: text.replace(f'"schema": "{migrations.HEAD}"', '"schema": null', 1),
}
WORDS = {
    **dict.fromkeys(list(SPOILT)[:4], "no backup of Seasonal Panel Fit"),
    **dict.fromkeys(list(SPOILT)[4:-3], "is damaged"),
    **dict.fromkeys(list(SPOILT)[-3:], "later version of Seasonal Panel Fit"),
}


@pytest.mark.parametrize("how", SPOILT)
def test_a_file_that_is_no_whole_backup_of_ours_is_refused_and_nothing_changes(
    store: Store, tmp_path: Path, how: str
) -> None:
    fill(store)
    back_up(store.engine, tmp_path / "backup")
    text = (tmp_path / "backup").read_text(encoding="utf-8")
    (tmp_path / "spoilt").write_text(SPOILT[how](text), encoding="utf-8")
    assert (tmp_path / "spoilt").read_text(encoding="utf-8") != text
    before = rows(store)
    with pytest.raises(BackupError, match=WORDS[how]):
        restore(store.engine, tmp_path / "spoilt", tmp_path / "aside")
    assert rows(store) == before
    assert not (tmp_path / "aside").exists()


@pytest.mark.parametrize(
    "line",
    [
        {"table": "letters", "row": {"id": "x"}},
        {"table": "alembic_version", "row": {"version_num": "0002"}},
        {"table": "pieces", "row": {"id": "x"}},
        {"table": "pieces", "row": {**PIECE, "colour": "red"}},
        {"table": "pieces", "row": {**PIECE, "revision": "7"}},
        {"table": "pieces", "row": {**PIECE, "revision": True}},
        {"table": "pieces", "row": {**PIECE, "name": None}},
        {"table": "pieces", "row": {**PIECE, "name": 7}},
        {"table": "pieces", "row": {**PIECE, "name": "x" * 81}},
        {"table": "pieces", "row": {**PIECE, "changed": "today"}},
        {"table": "pieces", "row": [PIECE]},
        {"table": "ticks", "row": {}},
    ],
)
def test_a_row_that_is_none_of_ours_is_refused(store: Store, tmp_path: Path, line: dict[str, Any]) -> None:
    lines = [HEAD, {"table": "pieces", "row": {**PIECE, "id": "p2"}}, line]
    with pytest.raises(BackupError, match="is damaged"):
        restore(store.engine, as_file(tmp_path / "odd", lines), tmp_path / "aside")
    assert store.pieces() == []
    restore(store.engine, as_file(tmp_path / "even", lines[:-1]), tmp_path / "aside")
    assert len(store.pieces()) == 1


def test_no_file_is_written_over(store: Store, tmp_path: Path) -> None:
    (tmp_path / "letter").write_text("Dear reader")
    with pytest.raises(BackupError, match="already"):
        back_up(store.engine, tmp_path / "letter")
    back_up(store.engine, tmp_path / "backup")
    fill(store)
    before = rows(store)
    with pytest.raises(BackupError, match="already"):
        restore(store.engine, tmp_path / "backup", tmp_path / "letter")
    assert (tmp_path / "letter").read_text() == "Dear reader"
    assert rows(store) == before


def test_a_backup_that_fails_leaves_no_half_a_file(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = sorted(path.name for path in tmp_path.iterdir())

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BackupError, match="No space left on device"):
        back_up(store.engine, tmp_path / "backup")
    with pytest.raises(BackupError, match="No such file or directory"):
        back_up(store.engine, tmp_path / "nowhere" / "backup")
    assert sorted(path.name for path in tmp_path.iterdir()) == before


@pytest.mark.parametrize("kind", KINDS)
def test_a_restore_that_fails_half_way_changes_nothing(made: Callable[[str], Store], tmp_path: Path, kind: str) -> None:
    store = made(kind)
    back_up(store.engine, tmp_path / "empty")
    fill(store)
    before = rows(store)

    def fail(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        if statement.startswith("DELETE FROM species"):
            raise OSError("the power went")

    event.listen(store.engine, "before_cursor_execute", fail)
    with pytest.raises(OSError, match="power"):
        restore(store.engine, tmp_path / "empty", tmp_path / "aside")
    assert rows(store) == before


# the commands


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any) -> Callable[..., str]:
    """Runs ``python -m webapp`` with options, on the data folder of the test."""
    monkeypatch.setenv("PANEL_FIT_DATABASE_URL", "")

    def run(*options: str) -> str:
        monkeypatch.setattr(sys, "argv", ["webapp", *options, "--data", str(tmp_path / "data")])
        main()
        return str(capsys.readouterr().out)

    return run


def filled(folder: Path) -> None:
    folder.mkdir()
    store = Store(f"sqlite:///{folder / 'seasonal-panel-fit.sqlite3'}")
    store.prepare()
    fill(store)
    store.close()


def test_the_commands_say_what_was_backed_up_and_restored(run: Callable[..., str], tmp_path: Path) -> None:
    filled(tmp_path / "data")
    backup = str(tmp_path / "backup")
    assert run("backup", backup) == f"Backed up into {backup}: 2 pieces, 1 climate, 1 species of your own.\n"
    first, links, second = run("restore", backup).splitlines()
    assert links == "Links that show a piece open again as they did then: close those that you do not want."
    assert first == f"Restored from {backup}: 2 pieces, 1 climate, 1 species of your own."
    [aside] = (tmp_path / "data").glob("before-restore-*.jsonl")
    assert second == f"What was kept before is in {aside}; restore that file to undo this."


def test_a_restore_into_a_folder_that_is_not_there_makes_it(run: Callable[..., str], tmp_path: Path) -> None:
    filled(tmp_path / "data")
    run("backup", str(tmp_path / "backup"))
    (tmp_path / "data").rename(tmp_path / "lost")
    assert "2 pieces" in run("restore", str(tmp_path / "backup"))


def test_there_must_be_something_to_back_up(run: Callable[..., str], tmp_path: Path) -> None:
    with pytest.raises(SystemExit, match="nothing to back up"):
        run("backup", str(tmp_path / "backup"))
    assert list(tmp_path.iterdir()) == []


def test_what_goes_wrong_is_told_in_one_line(run: Callable[..., str], tmp_path: Path) -> None:
    filled(tmp_path / "data")
    run("backup", str(tmp_path / "backup"))
    with pytest.raises(SystemExit, match="already"):
        run("backup", str(tmp_path / "backup"))
    with pytest.raises(SystemExit, match="No such file"):
        run("restore", str(tmp_path / "nothing"))


def test_a_damaged_database_is_told_and_a_new_one_restored_beside_it(run: Callable[..., str], tmp_path: Path) -> None:
    filled(tmp_path / "data")
    run("backup", str(tmp_path / "backup"))
    file = tmp_path / "data" / "seasonal-panel-fit.sqlite3"
    file.write_text("Dear reader, this is a letter.\n" * 40)
    with pytest.raises(SystemExit, match=r"its file is no database\. To restore into a new one, move its file away"):
        run("restore", str(tmp_path / "backup"))
    file.rename(tmp_path / "data" / "damaged")
    assert "2 pieces" in run("restore", str(tmp_path / "backup"))


def test_a_running_server_shows_what_was_restored(run: Callable[..., str], tmp_path: Path) -> None:
    with servers.served(tmp_path / "data") as server:
        httpx.post(f"{server.address}/pieces", data={"name": "Blanket chest"})
        run("backup", str(tmp_path / "backup"))
        httpx.post(f"{server.address}/pieces", data={"name": "Hall table"})
        assert "Hall table" in httpx.get(f"{server.address}/pieces").text
        run("restore", str(tmp_path / "backup"))
        text = httpx.get(f"{server.address}/pieces").text
        assert "Blanket chest" in text
        assert "Hall table" not in text
