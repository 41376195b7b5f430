"""What a new store starts with: three climates and a demo piece, laid out once and free to change or delete."""

from movement.parts.climates import PlaceClimate, RoomFields
from movement.tables import DATA
from webapp.store import Store, TakenError

MARK = "demo"
CLIMATES = (
    ("Heated flat, Stockholm", "Stockholm", RoomFields(heating_c=21.0, cooling_c=None, dehumidifier_pct=None)),
    ("Heated and cooled house, Chicago", "Chicago", RoomFields()),
    ("Sunroom kept at 18 °C, Lisbon", "Lisbon", RoomFields(heating_c=18.0, cooling_c=None, dehumidifier_pct=None)),
)


def lay_out(store: Store) -> None:
    """Put the demo into a store that has never had it."""
    if not store.set_mark(MARK, "1"):
        return
    from movement import piece as pieces  # not waited for by a server whose store has had it

    for name, place, room in CLIMATES:
        try:
            store.save_climate(name, PlaceClimate(place=place, room=room).model_dump_json())
        except TakenError:
            continue
    piece = pieces.load((DATA / "demo_piece.json").read_bytes())
    store.add_piece(piece.name, pieces.dump(piece))
