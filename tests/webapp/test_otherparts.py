"""The parts that stand in no frame, on paper."""

from movement import piece as pieces
from movement.parts.any import FrontPart
from movement.tables import DATA
from webapp.otherparts import NONE, others


def demo() -> pieces.Piece:
    return pieces.load((DATA / "demo_piece.json").read_bytes())


def test_every_part_is_there_with_what_applies() -> None:
    found = {part.name: part for part in others(demo())}
    assert list(found) == ["Back", "Upper drawer front", "Lower drawer front", "Pair of doors", "Top"]
    assert all(part.fits for part in found.values())
    front = found["Upper drawer front"]
    assert (front.size, front.opening, front.now) == ("136.0 mm", "140.0 mm", "3.0 mm")
    assert found["Pair of doors"].size == "388.0 mm × 1220.0 mm"
    assert found["Top"].now == NONE


def test_a_part_that_does_not_fit_gets_no_size_to_cut() -> None:
    piece = demo()
    made = FrontPart(id="x1", name="Made already", opening_mm=140.0, least_reveal_mm=1.0, made_mm=150.0)
    *_, last = others(piece.model_copy(update={"parts": [*piece.parts, made]}))
    assert not last.fits
    assert last.size == NONE
    assert last.advice


def test_the_sheet_shows_them_and_the_others_say_where_they_are(client) -> None:
    kept = client.app.state.store.pieces()[0]
    sheet = client.get(f"/pieces/{kept.id}/sheet").text
    for part in others(demo()):
        assert part.name in sheet
    for page in ("labels", "kit"):
        assert "5 other parts are on the shop sheet, not here." in client.get(f"/pieces/{kept.id}/{page}").text
