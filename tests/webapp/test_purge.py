"""What was deleted can be brought back for thirty days, and is gone for good after that."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import update

from webapp.app import create_app
from webapp.documents import MissingError
from webapp.purge import KEPT_FOR
from webapp.schema import DELETED_CLIMATES, PIECES
from webapp.settings import Settings
from webapp.shares import Shares
from webapp.store import Store

Delete = Callable[[Store], object]


def of_a_piece(store: Store) -> None:
    store.delete_piece(store.add_piece("Stool", "two").id)


def of_a_climate(store: Store) -> None:
    store.delete_climate(store.save_climate("Shed", "damp").id)


@pytest.fixture
def made(tmp_path: Path) -> Store:
    store = Store(f"sqlite:///{tmp_path / 'seasonal-panel-fit.sqlite3'}")
    store.prepare()
    return store


def aged(store: Store, age: timedelta) -> None:
    """Have everything that is deleted be deleted so long ago."""
    with store.engine.begin() as connection:
        for table in (PIECES, DELETED_CLIMATES):
            connection.execute(
                update(table).where(table.c.deleted.is_not(None)).values(deleted=datetime.now(UTC) - age)
            )


def deleted(store: Store) -> tuple[str, str]:
    """A piece with a tick and a link, and a climate, both deleted."""
    piece, climate = store.add_piece("Dresser", "one").id, store.save_climate("Attic", "dry").id
    store.tick(piece, "p1", "cut", "300")
    Shares(store.engine).make(piece)
    store.delete_piece(piece)
    store.delete_climate(climate)
    return piece, climate


def test_for_thirty_days_it_can_be_brought_back(made: Store) -> None:
    piece, climate = deleted(made)
    aged(made, KEPT_FOR - timedelta(minutes=1))
    assert made.purge() == 0
    made.restore_piece(piece)
    assert made.restore_climate(climate).name == "Attic"
    assert [tick.made for tick in made.ticks(piece)] == ["300"]


def test_then_it_is_gone_with_all_that_belongs_to_it(made: Store) -> None:
    piece, climate = deleted(made)
    aged(made, KEPT_FOR + timedelta(minutes=1))
    assert made.purge() == 2
    with pytest.raises(MissingError):
        made.restore_piece(piece)
    with pytest.raises(MissingError):
        made.restore_climate(climate)
    assert made.ticks(piece) == []
    assert Shares(made.engine).of(piece) == []
    assert made.purge() == 0


@pytest.mark.parametrize("delete", [of_a_piece, of_a_climate])
def test_the_next_deletion_takes_it_out(made: Store, delete: Delete) -> None:
    piece, climate = deleted(made)
    aged(made, KEPT_FOR + timedelta(minutes=1))
    delete(made)
    with pytest.raises(MissingError):
        made.piece(piece)
    with pytest.raises(MissingError):
        made.deleted_climate(climate)


def test_the_next_start_takes_it_out(made: Store, tmp_path: Path) -> None:
    kept = made.add_piece("Bench", "three").id
    piece, _ = deleted(made)
    aged(made, KEPT_FOR + timedelta(minutes=1))
    made.close()
    store = create_app(Settings(data=tmp_path, database_url="")).state.store
    with pytest.raises(MissingError):
        store.piece(piece)
    assert store.piece(kept).name == "Bench"
    store.close()


def test_what_is_not_deleted_stays_however_old(made: Store) -> None:
    kept = made.add_piece("Bench", "three").id
    with made.engine.begin() as connection:
        connection.execute(update(PIECES).values(changed=datetime.now(UTC) - 40 * KEPT_FOR))
    assert made.purge() == 0
    assert made.piece(kept).document == "three"
