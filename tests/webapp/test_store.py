"""What is kept: one transaction per call, nothing overwritten unseen, and plain words when the disk fails."""

import threading
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event, text

from webapp.database import StorageError
from webapp.documents import ChangedError, Kept, MissingError
from webapp.store import TRIES, ConflictError, Store, TakenError


def opened(address: str) -> Iterator[Store]:
    store = Store(address)
    store.prepare()
    yield store
    store.close()


@pytest.fixture
def store(database: str) -> Iterator[Store]:
    """A store on SQLite and on PostgreSQL in turn."""
    yield from opened(database)


@pytest.fixture
def in_file(tmp_path: Path) -> Iterator[Store]:
    """A store on SQLite."""
    yield from opened(f"sqlite:///{tmp_path / 'test.sqlite3'}")


def together(*works: object) -> None:
    """Run the works in threads of their own; a failure in one is a failure."""
    failures: list[BaseException] = []

    def guarded(work: object) -> None:
        try:
            work()  # type: ignore[operator]
        except BaseException as error:
            failures.append(error)

    threads = [threading.Thread(target=guarded, args=(work,)) for work in works]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not failures


# pieces


def test_a_piece_is_kept_as_it_was_given(store: Store) -> None:
    kept = store.add_piece("Dresser", '{"a": 1}')
    assert store.piece(kept.id) == kept
    assert (kept.name, kept.document, kept.revision, kept.deleted) == ("Dresser", '{"a": 1}', 1, False)


def test_a_piece_outlives_the_process(database: str, store: Store) -> None:
    kept = store.add_piece("Dresser", "é “half-blind” 🪵")
    again = Store(database)
    again.prepare()
    assert again.piece(kept.id) == kept
    again.close()


def test_when_a_piece_was_changed_is_told_in_utc(store: Store) -> None:
    before = datetime.now(UTC)
    kept = store.piece(store.add_piece("Dresser", "{}").id)
    assert before <= kept.changed <= datetime.now(UTC)


def test_pieces_are_listed_with_the_last_changed_first(store: Store) -> None:
    first, second = store.add_piece("First", "{}"), store.add_piece("Second", "{}")
    assert [kept.name for kept in store.pieces()] == ["Second", "First"]
    store.save_piece(first.id, "First", "{}", 1)
    assert [kept.id for kept in store.pieces()] == [first.id, second.id]


def test_a_save_over_the_revision_it_was_made_from_is_kept(store: Store) -> None:
    id = store.add_piece("Dresser", "one").id
    kept = store.save_piece(id, "Sideboard", "two", 1)
    assert (kept.name, kept.document, kept.revision) == ("Sideboard", "two", 2)
    assert store.piece(id) == kept


def test_a_save_over_an_older_revision_overwrites_nothing(store: Store) -> None:
    id = store.add_piece("Dresser", "one").id
    store.save_piece(id, "Dresser", "two", 1)
    with pytest.raises(ConflictError) as raised:
        store.save_piece(id, "Dresser", "three", 1)
    assert raised.value.revision == 2
    assert store.piece(id).document == "two"


def test_a_change_of_a_piece_is_made_again_when_another_was_faster(store: Store) -> None:
    id = store.add_piece("Dresser", "").id
    seen = []

    def change(document: str) -> tuple[str, str]:
        seen.append(document)
        if len(seen) == 1:
            store.save_piece(id, "Dresser", "theirs", 1)
        return "Dresser", f"{document} and mine"

    assert store.change_piece(id, change).document == "theirs and mine"
    assert seen == ["", "theirs"]


def test_a_change_gives_up_in_words_when_another_is_always_faster(store: Store) -> None:
    id = store.add_piece("Dresser", "").id

    def change(document: str) -> tuple[str, str]:
        kept = store.piece(id)
        store.save_piece(id, "Dresser", f"{document}+", kept.revision)
        return "Dresser", "mine"

    with pytest.raises(StorageError, match="others keep changing this piece"):
        store.change_piece(id, change)
    assert store.piece(id).document == "+" * TRIES


def test_writers_at_the_same_time_lose_no_change(store: Store) -> None:
    id = store.add_piece("Dresser", "0").id

    def write() -> None:
        for _ in range(20):
            store.change_piece(id, lambda document: ("Dresser", str(int(document) + 1)))

    together(*[write] * 6)
    kept = store.piece(id)
    assert (kept.document, kept.revision) == ("120", 121)


def test_of_two_saves_over_one_revision_one_is_refused(store: Store) -> None:
    id = store.add_piece("Dresser", "").id
    outcomes: list[str] = []

    def save() -> None:
        try:
            store.save_piece(id, "Dresser", "x", 1)
            outcomes.append("kept")
        except ConflictError:
            outcomes.append("refused")

    together(*[save] * 6)
    assert sorted(outcomes) == ["kept"] + ["refused"] * 5


def test_a_change_that_fails_leaves_the_piece_alone(store: Store) -> None:
    id = store.add_piece("Dresser", "one").id

    def fail(document: str) -> tuple[str, str]:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        store.change_piece(id, fail)
    assert store.piece(id).document == "one"


def test_a_deleted_piece_comes_back(store: Store) -> None:
    id = store.add_piece("Dresser", "one").id
    store.delete_piece(id)
    assert store.pieces() == []
    assert store.piece(id).deleted
    store.restore_piece(id)
    assert [kept.document for kept in store.pieces()] == ["one"]


def test_a_deleted_piece_is_not_saved_over(store: Store) -> None:
    id = store.add_piece("Dresser", "one").id
    store.delete_piece(id)
    with pytest.raises(MissingError):
        store.save_piece(id, "Dresser", "two", 1)
    assert store.piece(id).document == "one"


@pytest.mark.parametrize(
    "call",
    [
        lambda store: store.piece("nothing"),
        lambda store: store.save_piece("nothing", "x", "x", 1),
        lambda store: store.change_piece("nothing", lambda document: ("x", document)),
        lambda store: store.delete_piece("nothing"),
        lambda store: store.restore_piece("nothing"),
        lambda store: store.climate("nothing"),
        lambda store: store.save_climate("x", "x", Kept("nothing", "x", "x", 0, datetime.now(UTC))),
        lambda store: store.delete_climate("nothing"),
        lambda store: store.deleted_climate("nothing"),
        lambda store: store.restore_climate("nothing"),
        lambda store: store.save_species("x", "x", ("nothing", "x")),
        lambda store: store.delete_species("nothing"),
    ],
)
def test_what_is_not_kept_is_missing(store: Store, call: object) -> None:
    with pytest.raises(MissingError):
        call(store)  # type: ignore[operator]


# climates and species


def test_a_climate_is_kept_renamed_and_deleted(store: Store) -> None:
    kept = store.save_climate("Attic", "dry")
    assert store.climate(kept.id) == kept
    assert store.save_climate("Loft", "drier", kept).id == kept.id
    assert [(one.name, one.document) for one in store.climates()] == [("Loft", "drier")]
    assert store.delete_climate(kept.id).document == "drier"
    assert store.climates() == []


def test_two_climates_cannot_have_one_name(store: Store) -> None:
    store.save_climate("Attic", "one")
    other = store.save_climate("Cellar", "two")
    with pytest.raises(TakenError, match="Attic"):
        store.save_climate("Attic", "three")
    with pytest.raises(TakenError):
        store.save_climate("Attic", "three", other)
    assert [(one.name, one.document) for one in store.climates()] == [("Attic", "one"), ("Cellar", "two")]


def test_a_deleted_climate_is_brought_back_as_it_was(store: Store) -> None:
    kept = store.save_climate("Attic", "dry")
    store.delete_climate(kept.id)
    gone = store.deleted_climate(kept.id)
    assert (gone.name, gone.document, gone.deleted) == ("Attic", "dry", True)
    with pytest.raises(MissingError):
        store.climate(kept.id)
    assert store.restore_climate(kept.id) == kept
    assert store.climates() == [kept]
    with pytest.raises(MissingError):
        store.restore_climate(kept.id)


def test_a_climate_can_be_deleted_and_brought_back_again_and_again(store: Store) -> None:
    kept = store.save_climate("Attic", "dry")
    for _ in range(2):
        store.delete_climate(kept.id)
        assert store.restore_climate(kept.id) == kept


def test_a_climate_whose_name_was_taken_meanwhile_is_brought_back_under_another(store: Store) -> None:
    kept = store.save_climate("Attic", "dry")
    store.delete_climate(kept.id)
    store.save_climate("Attic", "damp")
    with pytest.raises(TakenError, match="Attic"):
        store.restore_climate(kept.id)
    assert store.deleted_climate(kept.id).document == "dry"
    assert store.restore_climate(kept.id, "Loft").id == kept.id
    assert [(one.name, one.document) for one in store.climates()] == [("Attic", "damp"), ("Loft", "dry")]


def test_of_two_climates_kept_at_once_under_one_name_one_is_refused(store: Store) -> None:
    outcomes: list[str] = []

    def save() -> None:
        try:
            store.save_climate("Attic", "x")
            outcomes.append("kept")
        except TakenError:
            outcomes.append("refused")

    together(*[save] * 4)
    assert sorted(outcomes) == ["kept"] + ["refused"] * 3


def test_a_climate_that_was_changed_since_it_was_read_is_not_overwritten(store: Store) -> None:
    read = store.save_climate("Attic", "dry")
    store.save_climate("Loft", "dry", read)
    before = store.edition()
    with pytest.raises(ChangedError):
        store.save_climate("Attic", "damp", read)
    assert [(one.name, one.document) for one in store.climates()] == [("Loft", "dry")]
    assert store.edition() == before


def test_a_species_is_kept_changed_renamed_and_deleted(store: Store) -> None:
    store.save_species("Apple", "one")
    store.save_species("Apple", "two", ("Apple", "one"))
    store.save_species("Apple, garden", "two", ("Apple", "two"))
    assert store.species() == [("Apple, garden", "two")]
    assert store.delete_species("Apple, garden") == "two"
    assert store.species() == []


def test_a_species_that_was_changed_since_it_was_read_is_not_overwritten(store: Store) -> None:
    store.save_species("Apple", "two")
    with pytest.raises(ChangedError):
        store.save_species("Apple", "three", ("Apple", "one"))
    assert store.species() == [("Apple", "two")]


def test_two_species_cannot_have_one_name(store: Store) -> None:
    store.save_species("Apple", "one")
    store.save_species("Pear", "two")
    with pytest.raises(TakenError, match="Apple"):
        store.save_species("Apple", "three")
    with pytest.raises(TakenError, match="Apple"):
        store.save_species("Apple", "three", ("Pear", "two"))
    assert store.species() == [("Apple", "one"), ("Pear", "two")]


def test_every_change_of_a_climate_or_species_makes_another_edition(store: Store) -> None:
    editions = [store.edition()]
    climate = store.save_climate("Attic", "one")
    editions.append(store.edition())
    for change in (
        lambda: store.save_climate("Attic", "two", climate),
        lambda: store.delete_climate(climate.id),
        lambda: store.restore_climate(climate.id),
        lambda: store.save_species("Apple", "one"),
        lambda: store.delete_species("Apple"),
    ):
        change()
        editions.append(store.edition())
    assert len(set(editions)) == 7


def test_a_refused_change_makes_no_other_edition(store: Store) -> None:
    store.save_climate("Attic", "one")
    before = store.edition()
    with pytest.raises(TakenError):
        store.save_climate("Attic", "two")
    assert store.edition() == before


# two at the same moment


def just_before(store: Store, statement: str, work: Callable[[], object]) -> None:
    """Have somebody else do the work right before the first statement of a kind."""
    seen: list[str] = []

    def meanwhile(_connection: Any, _cursor: Any, said: str, *_: Any) -> None:
        if said.startswith(statement) and not seen:
            seen.append(said)
            together(work)

    event.listen(store.engine, "before_cursor_execute", meanwhile)


def test_of_two_who_delete_a_climate_one_is_told_that_it_is_gone(store: Store) -> None:
    kept = store.save_climate("Attic", "dry")
    just_before(store, "DELETE", lambda: store.delete_climate(kept.id))
    with pytest.raises(MissingError):
        store.delete_climate(kept.id)
    assert store.restore_climate(kept.id) == kept


def test_a_climate_that_is_changed_just_before_it_is_deleted_comes_back_changed(store: Store) -> None:
    kept = store.save_climate("Attic", "dry")
    just_before(store, "DELETE", lambda: store.save_climate("Loft", "drier", kept))
    assert store.delete_climate(kept.id).document == "drier"
    assert store.restore_climate(kept.id).name == "Loft"


def test_a_climate_that_is_deleted_just_before_it_is_changed_is_missing(store: Store) -> None:
    kept = store.save_climate("Attic", "dry")
    just_before(store, "UPDATE climates", lambda: store.delete_climate(kept.id))
    with pytest.raises(MissingError):
        store.save_climate("Loft", "drier", kept)
    assert store.deleted_climate(kept.id).document == "dry"


def test_of_two_who_bring_a_climate_back_one_is_told_that_it_is_there(store: Store) -> None:
    kept = store.save_climate("Attic", "dry")
    store.delete_climate(kept.id)
    just_before(store, "DELETE", lambda: store.restore_climate(kept.id))
    with pytest.raises(MissingError):
        store.restore_climate(kept.id)
    assert store.climates() == [kept]


def test_of_two_who_change_a_climate_one_is_told(store: Store) -> None:
    read = store.save_climate("Attic", "dry")
    just_before(store, "UPDATE climates", lambda: store.save_climate("Attic", "damp", read))
    with pytest.raises(ChangedError):
        store.save_climate("Attic", "drier", read)
    assert store.climate(read.id).document == "damp"


def test_of_two_who_keep_a_species_under_one_name_one_is_told(store: Store) -> None:
    just_before(store, "INSERT INTO species", lambda: store.save_species("Apple", "one"))
    with pytest.raises(TakenError):
        store.save_species("Apple", "two")
    assert store.species() == [("Apple", "one")]


def test_of_two_who_change_a_species_one_is_told(store: Store) -> None:
    store.save_species("Apple", "one")
    just_before(store, "UPDATE species", lambda: store.save_species("Apple", "two", ("Apple", "one")))
    with pytest.raises(ChangedError):
        store.save_species("Apple", "three", ("Apple", "one"))
    assert store.species() == [("Apple", "two")]


def test_of_two_who_delete_a_species_one_is_told_that_it_is_gone(store: Store) -> None:
    store.save_species("Apple", "one")
    just_before(store, "DELETE", lambda: store.delete_species("Apple"))
    with pytest.raises(MissingError):
        store.delete_species("Apple")


def test_two_can_tick_the_same_step_off(store: Store) -> None:
    """SQLite has others wait from the first statement on."""
    last_moment = "UPDATE ticks" if store.is_at_hand else "INSERT INTO ticks"
    just_before(store, last_moment, lambda: store.tick("piece", "door", "cut", "310.100"))
    store.tick("piece", "door", "cut", "310.100")
    assert [tick.made for tick in store.ticks("piece")] == ["310.100"]


# the store itself


def test_a_name_or_handle_with_nul_in_it_is_taken_without_it(store: Store) -> None:
    assert store.piece(store.add_piece("Dres\0ser", "{}").id).name == "Dresser"
    with pytest.raises(MissingError):
        store.piece("no\0thing")
    store.save_species("App\0le", "one")
    assert store.species() == [("Apple", "one")]


def test_a_mark_is_set_once(store: Store) -> None:
    assert store.mark("demo") is None
    assert store.set_mark("demo", "1")
    assert not store.set_mark("demo", "2")
    assert store.mark("demo") == "1"


def test_of_several_who_set_a_mark_at_once_one_succeeds(store: Store) -> None:
    outcomes: list[bool] = []
    together(*[lambda: outcomes.append(store.set_mark("demo", "1"))] * 6)
    assert sorted(outcomes) == [False] * 5 + [True]


def test_several_can_start_at_once(database: str) -> None:
    stores = [Store(database) for _ in range(4)]
    together(*[store.prepare for store in stores])
    assert len({store.edition() for store in stores}) == 1
    for store in stores:
        store.close()


@pytest.mark.parametrize(("pragma", "value"), [("journal_mode", "wal"), ("synchronous", 2), ("busy_timeout", 30_000)])
def test_a_change_is_on_disk_when_the_call_returns(in_file: Store, pragma: str, value: object) -> None:
    with in_file.engine.connect() as connection:
        assert connection.execute(text(f"PRAGMA {pragma}")).scalar() == value


def test_a_full_disk_is_told_and_changes_nothing(in_file: Store) -> None:
    id = in_file.add_piece("Dresser", "one").id

    def fill(connection: object, _record: object, _proxy: object) -> None:
        connection.execute("PRAGMA max_page_count = 1")  # type: ignore[attr-defined]

    event.listen(in_file.engine, "checkout", fill)
    with pytest.raises(StorageError, match="the disk is full"):
        in_file.save_piece(id, "Dresser", "x" * 1_000_000, 1)
    event.remove(in_file.engine, "checkout", fill)
    assert in_file.piece(id).document == "one"


def test_a_file_that_cannot_be_written_is_told(tmp_path: Path, in_file: Store) -> None:
    id = in_file.add_piece("Dresser", "one").id
    readonly = Store(f"sqlite:///file:{tmp_path / 'test.sqlite3'}?mode=ro&uri=true")
    with pytest.raises(StorageError, match="cannot be written"):
        readonly.save_piece(id, "Dresser", "two", 1)
    assert readonly.piece(id).document == "one"
    readonly.close()


def test_a_file_that_is_no_database_is_told(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("Dear reader, this is a letter and no database at all.\n" * 50)
    store = Store(f"sqlite:///{tmp_path / 'letter.txt'}")
    with pytest.raises(StorageError, match="no database"):
        store.prepare()
    store.close()


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    store = Store(f"sqlite:///{tmp_path / 'nowhere' / 'test.sqlite3'}")
    with pytest.raises(StorageError, match="cannot be opened"):
        store.prepare()
    store.close()


def test_what_a_storage_error_says_names_no_path(tmp_path: Path) -> None:
    store = Store(f"sqlite:///{tmp_path / 'nowhere' / 'test.sqlite3'}")
    with pytest.raises(StorageError) as raised:
        store.prepare()
    assert "nowhere" not in str(raised.value)
    store.close()
