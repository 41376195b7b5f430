"""The parts that stand in no frame, on paper and at the bench: every kind, with its numbers, sizes and cautions."""

import re
from itertools import pairwise
from typing import Any

import pytest
from fastapi import FastAPI

from movement import gap_table
from movement import piece as pieces
from movement.lengths import Unit
from movement.parts.any import FrontPart, SlatsPart
from movement.parts.slats import CAUTIONS
from movement.piece import Piece
from movement.tables import DATA
from tests.webapp.reading import plain
from webapp import codes, otherparts, worked
from webapp.kinds.catalogue import KINDS, find
from webapp.lines import Line
from webapp.otherparts import others
from webapp.rounding import NONE
from webapp.store import Store
from webapp.words import Words

from . import paper_cases
from .conftest import Client

PAGES = ("kit", "kit?order=assembly", "labels", "labels?grid=18", "sheet")


@pytest.fixture
def store(app: FastAPI) -> Store:
    kept: Store = app.state.store
    return kept


def every_kind(unit: Unit = "mm", **more: Any) -> Piece:
    """A piece with a part of every kind, and one that does not fit."""
    return paper_cases.piece(unit, parts=[*paper_cases.PARTS, paper_cases.TOO_LARGE], **more)


def keep(store: Store, piece: Piece) -> str:
    return store.add_piece(piece.name, pieces.dump(piece)).id


def demo() -> Piece:
    return pieces.load((DATA / "demo_piece.json").read_bytes())


def by_kind(unit: Unit = "mm") -> dict[str, Line]:
    return {line.kind: line for line in others(every_kind(unit)) if line.fits}


def test_every_kind_is_among_the_cases() -> None:
    assert set(by_kind()) == {kind.key for kind in KINDS}


def test_the_numbers_follow_those_of_the_panels() -> None:
    piece = every_kind()
    assert [line.number for line in others(piece)] == list(range(7, 7 + len(piece.parts)))


def test_every_part_is_there_with_what_applies() -> None:
    found = {part.name: part for part in others(demo())}
    assert list(found) == ["Back", "Upper drawer front", "Lower drawer front", "Pair of doors", "Top"]
    assert all(part.fits for part in found.values())
    front = found["Upper drawer front"]
    assert (plain(front.size), front.cells["opening"], front.cells["gap_now"]) == ("136.0 mm", "140.0", "3.0")
    assert plain(found["Pair of doors"].size) == "388.0 × 1220.0 mm"
    assert found["Top"].cells["gap_now"] == NONE


def test_a_part_that_does_not_fit_gets_no_size_to_cut() -> None:
    piece = demo()
    made = FrontPart(id="x1", name="Made already", opening_mm=140.0, least_reveal_mm=1.0, made_mm=150.0)
    *_, last = others(piece.model_copy(update={"parts": [*piece.parts, made]}))
    assert not last.fits
    assert last.size == ""
    assert last.advice


def test_a_part_that_the_core_refuses_has_its_reason(monkeypatch: pytest.MonkeyPatch) -> None:
    piece = every_kind()
    monkeypatch.setattr(otherparts.worked, "parts", lambda piece: [(piece.parts[0], "The opening is 9 mm.")])
    [line] = others(piece)
    assert (line.problem, line.size, line.fits, line.number) == ("The opening is 9 mm.", "", False, 7)


def drawer_of_three() -> Piece:
    """A drawer whose bottom and case are of stock of their own."""
    piece = every_kind()
    [drawer] = [part for part in piece.parts if part.kind == "drawer"]
    own = {"bottom_moisture_now_pct": 10.2, "case_ring_angle_deg": 90.0, "case_moisture_now_pct": 6.6}
    return piece.model_copy(update={"parts": [drawer.model_copy(update=own)]})


def test_a_drawer_s_bottom_and_case_are_named_with_their_moisture() -> None:
    piece = drawer_of_three()
    [line] = others(piece)
    assert line.stock == "Oak, red: northern red, ring angle 0°"
    told = plain(line.moisture_words)
    assert "; bottom Yellow-poplar, ring angle 0°, 10.2 %" in told
    assert "; case Oak, red: northern red, ring angle 90°, 6.6 %" in told
    also = str(gap_table.whole(piece)[-1].cells()["also"])
    assert "; bottom of Yellow-poplar, ring angle 0°, 10.2 % today; " in also
    assert "; case of Oak, red: northern red, ring angle 90°" in also


@pytest.mark.parametrize("address", ["kit", "labels", "labels?grid=18", "sheet"])
def test_every_page_has_the_moisture_of_a_drawer_s_bottom(client: Client, store: Store, address: str) -> None:
    text = plain(client.get(f"/pieces/{keep(store, drawer_of_three())}/{address}").text)
    assert "bottom Yellow-poplar, ring angle 0°, 10.2 %" in text


def test_a_piece_tells_the_moisture_of_a_drawer_s_bottom_at_its_head(client: Client, store: Store) -> None:
    text = plain(client.get(f"/pieces/{keep(store, drawer_of_three())}/sheet").text)
    assert "bottom of part 7: 10.2 %, case of part 7: 6.6 %" in text


# By hand, of the case's own results: what stands where, edge by edge.
@pytest.mark.parametrize(
    ("kind", "told"),
    [
        (
            "boards",
            r"10 boards, face [\d.]+ mm, tongue 6\.0 mm\. Leave [\d.]+ mm at each joint and [\d.]+ mm at each end",
        ),
        ("drawer", r"Leave [\d.]+ mm above the sides today\. Leave [\d.]+ mm behind them\. Cut the bottom [\d.]+ mm"),
        ("front", r"Leave a reveal of [\d.]+ mm at the top today, and of 1\.0 mm at the bottom all year\."),
        ("door", r"Two leaves: leave [\d.]+ mm between them today, and a reveal of 1\.0 mm at each hinge all year\."),
        ("joint", r"Tenon 1, from 0 mm: mortise [\d.]+ mm long, slack 0 mm before the tenon"),
        ("top", r"Hold it still at its front; .* Slot at 180\.0 mm from the fixed place: [\d.]+ mm long"),
        ("slot", r"Mark the screw where it stands today, 380\.0 mm from the fixed place\."),
        ("breadboard", r"Pin it fast at the top’s centre only\. Hole at 150\.0 mm .* It is flush with the top today\."),
        ("slats", r"Leave 14\.0 mm clear between them today: 59\.0 mm from centre to centre\."),
    ],
)
def test_every_kind_says_what_to_leave_at_which_edge(kind: str, told: str) -> None:
    line = by_kind()[kind]
    assert re.search(told, " ".join(line.today))
    assert line.short


def test_a_row_of_slats_is_told_whole_and_marked_from_one_end() -> None:
    """By hand: (900 − 10 × 45) / 11 = 40.909 of space; the last near edge at 900 − 45 − 40.909 = 814.091."""
    part = SlatsPart(id="s1", name="Base", slat_width_mm=45, opening_mm=900, slats=10)
    [line] = others(demo().model_copy(update={"frames": [], "parts": [part]}))
    today = " ".join(line.today)
    assert "10 slats in a row of 900 mm between its ends." in today
    assert "from one end of the row: 40.9 mm, 126.8 mm, 212.7 mm," in today
    assert today.count("814.1 mm.") == 1
    assert "10 slats in a row of 900 mm, near edges 40.9 mm to 814.1 mm from one end" in line.short


@pytest.mark.parametrize("kind", ["boards", "drawer", "front", "door"])
def test_what_leans_tells_its_bias_with_the_reason(kind: str) -> None:
    line = by_kind()[kind]
    assert "looser than neutral" in line.bias
    assert "drier" in line.lean


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("address", PAGES)
def test_every_page_has_every_part(client: Client, store: Store, address: str, unit: Unit) -> None:
    piece = every_kind(unit)
    text = plain(client.get(f"/pieces/{keep(store, piece)}/{address}").text)
    for line in others(piece):
        assert line.name in text
        assert (plain(line.leave) if "assembly" in address else plain(line.size)) in text or not line.fits
    assert "not here" not in text


@pytest.mark.parametrize("address", ["kit?order=assembly", "sheet"])
def test_what_to_leave_is_told_with_it(client: Client, store: Store, address: str) -> None:
    piece = every_kind()
    text = plain(client.get(f"/pieces/{keep(store, piece)}/{address}").text)
    for line in others(piece):
        if line.fits:
            assert plain(" ".join(line.today)) in text
            assert plain(line.lean if address == "sheet" else line.bias) in text


def test_the_kit_says_once_why_openings_lean(client: Client, store: Store) -> None:
    text = plain(client.get(f"/pieces/{keep(store, every_kind())}/kit?order=assembly").text)
    assert text.count("the middle of what it will meet") == 1


@pytest.mark.parametrize("grid", ["8", "18"])
def test_labels_tell_what_to_leave_and_the_bias(client: Client, store: Store, grid: str) -> None:
    piece = every_kind()
    text = plain(client.get(f"/pieces/{keep(store, piece)}/labels?grid={grid}").text)
    for line in others(piece):
        if line.fits:
            assert f"{plain(line.short)} " in text
            assert f"Bias: {line.bias}" in text or not line.bias


def test_there_is_a_label_for_every_part_that_is_made_and_its_code_leads_to_its_page(
    client: Client, store: Store
) -> None:
    piece = every_kind()
    id = keep(store, piece)
    text = client.get(f"/pieces/{id}/labels?frame=.others").text
    leaves = {"q7": 2}  # each leaf of the pair is a piece of its own
    labels = {part.id: part.count * leaves.get(part.id, 1) for part in piece.parts}
    assert text.count('<div class="label-code">') == sum(labels.values())
    for part in piece.parts:
        address = f"http://shop.test/pieces/{id}/parts/{part.id}"
        assert text.count(str(codes.svg(address))) == labels[part.id]
        assert client.get(address).status_code == 200


def test_they_are_printed_alone_where_they_are_asked_for(client: Client, store: Store) -> None:
    id = keep(store, every_kind())
    for page in ("sheet", "labels"):
        alone, frame = (client.get(f"/pieces/{id}/{page}?frame={one}").text for one in (".others", "door"))
        assert "Shelf slats" in alone
        assert "Door panel" not in alone
        assert "Shelf slats" not in frame
        assert '<option value=".others">Other parts</option>' in frame
    bare = keep(store, paper_cases.piece())
    assert ".others" not in client.get(f"/pieces/{bare}/sheet?frame=.others").text


def test_gaps_that_can_trap_are_warned_of_everywhere(client: Client, store: Store) -> None:
    id = keep(store, every_kind())
    for address in ("sheet", "parts/q5"):
        text = plain(client.get(f"/pieces/{id}/{address}").text)
        assert all(caution in text for caution in CAUTIONS), address
    for address in ("kit?order=assembly", "labels", "labels?grid=18", "sheet"):
        text = plain(client.get(f"/pieces/{id}/{address}").text)
        assert "Caution. These spaces can trap fingers, limbs or heads" in text


def test_every_caution_of_a_kind_is_on_paper_and_at_the_bench(client: Client, store: Store) -> None:
    piece = every_kind()
    id = keep(store, piece)
    sheet = plain(client.get(f"/pieces/{id}/sheet").text)
    for part, row in worked.parts(piece):
        kind = find(part.kind)
        assert kind is not None
        assert not isinstance(row, str)
        wanted = kind.show(part, row.result, Words("mm")).cautions
        line = next(line for line in others(piece) if line.id == part.id)
        assert tuple(line.cautions) == wanted
        assert bool(line.mind) == bool(wanted)
        bench = plain(client.get(f"/pieces/{id}/parts/{part.id}").text)
        assert all(text in sheet for text in wanted)
        assert all(text in bench for text in wanted)


class TestAtTheBench:
    @pytest.mark.parametrize("unit", ["mm", "in"])
    @pytest.mark.parametrize("part", paper_cases.PARTS, ids=lambda part: part.kind)
    def test_every_kind_has_its_page(self, client: Client, store: Store, part: Any, unit: Unit) -> None:
        piece = every_kind(unit)
        id = keep(store, piece)
        page = client.get(f"/pieces/{id}/parts/{part.id}")
        assert page.status_code == 200
        text = plain(page.text)
        line = next(line for line in others(piece) if line.id == part.id)
        assert f"<h1>{line.title}" in page.text
        assert plain(" ".join(line.today)) in text
        assert 'class="figure main"' in page.text
        assert 'id="drawing-1-title"' in page.text
        assert f'href="/pieces/{id}#part-{part.id}"' in page.text
        assert f'id="button-cut-{part.id}"' in page.text
        assert f'id="button-assemble-{part.id}"' in page.text

    def test_one_that_does_not_fit_shows_why_and_no_size(self, client: Client, store: Store) -> None:
        text = client.get(f"/pieces/{keep(store, every_kind())}/parts/x9").text
        assert "It does not fit: do not cut it." in text
        assert "tick-button" not in text
        assert "Why not, and what would mend it" in text
        assert 'class="figures"' not in text

    def test_parts_lead_to_one_another_over_all_kinds(self, client: Client, store: Store) -> None:
        piece = every_kind()
        id = keep(store, piece)
        handles = [*(part.id for _, part in piece.panels()), *(part.id for part in piece.parts)]
        for before, after in pairwise(handles):
            assert f'href="/pieces/{id}/parts/{after}" rel="next"' in client.get(f"/pieces/{id}/parts/{before}").text

    def test_the_gap_table_leads_there(self, client: Client, store: Store) -> None:
        id = keep(store, every_kind())
        page = client.get(f"/pieces/{id}").text
        for part in paper_cases.PARTS:
            assert f'href="/pieces/{id}/parts/{part.id}"' in page


class TestTicks:
    def tick(self, client: Client, id: str, step: str, handle: str) -> int:
        return client.post(f"/pieces/{id}/kit", data={"step": step, "handle": handle, "done": "1"}).status_code

    @pytest.mark.parametrize("part", paper_cases.PARTS, ids=lambda part: part.kind)
    def test_every_kind_is_ticked_in_both_orders_and_stays_so(self, client: Client, store: Store, part: Any) -> None:
        id = keep(store, every_kind())
        for step, order in (("cut", "milling"), ("assemble", "assembly")):
            assert self.tick(client, id, step, part.id) == 303
            text = client.get(f"/pieces/{id}/kit?order={order}").text
            assert f'<li class="kit-row is-done" id="{step}-{part.id}">' in text
        assert "2 of 48 steps done." in client.get(f"/pieces/{id}/kit").text

    def test_one_that_does_not_fit_has_none(self, client: Client, store: Store) -> None:
        id = keep(store, every_kind())
        assert self.tick(client, id, "cut", "x9") == 404
        assert "Made too large does not fit" in client.get(f"/pieces/{id}/kit").text

    @pytest.mark.parametrize(
        ("step", "handle"), [("cut", "q1"), ("mortise", "q2"), ("cut", "q3"), ("slot", "q4"), ("slot", "q8")]
    )
    def test_a_slot_or_size_that_changed_since_is_told(
        self, client: Client, store: Store, step: str, handle: str
    ) -> None:
        id = keep(store, every_kind())
        self.tick(client, id, step, handle)
        assert "not what is wanted now" not in client.get(f"/pieces/{id}/kit").text

        def wetter(document: str) -> tuple[str, str]:
            piece = pieces.load(document)
            defaults = piece.defaults.model_copy(update={"moisture_now_pct": 13.0})
            return piece.name, pieces.dump(piece.model_copy(update={"defaults": defaults}))

        store.change_piece(id, wetter)
        assert "not what is wanted now" in client.get(f"/pieces/{id}/kit").text
        assert "not what is wanted now" in client.get(f"/pieces/{id}/parts/{handle}").text

    def test_many_slots_are_kept_in_what_the_store_holds(self, client: Client, store: Store) -> None:
        distances = [float(place) for place in range(20, 420, 10)]
        top = paper_cases.TOP.model_copy(update={"distances_mm": distances, "id": "t1"})
        id = keep(store, paper_cases.piece(parts=[top]))
        assert self.tick(client, id, "slot", "t1") == 303
        [tick] = store.ticks(id)
        assert len(tick.made) <= 80
        assert "not what is wanted now" not in client.get(f"/pieces/{id}/kit").text

        def moved(document: str) -> tuple[str, str]:
            piece = pieces.load(document)
            one = piece.parts[0].model_copy(update={"distances_mm": [*distances[:-1], 415.0]})
            return piece.name, pieces.dump(piece.model_copy(update={"parts": [one]}))

        store.change_piece(id, moved)
        assert "not what is wanted now" in client.get(f"/pieces/{id}/kit").text


class TestTheOrder:
    def rows(self, client: Client, id: str, order: str) -> list[str]:
        return re.findall(r'<li class="kit-row[^"]*" id="([^"]*)">', client.get(f"/pieces/{id}/kit?order={order}").text)

    def test_rails_come_before_the_frames_and_tops_last(self, client: Client, store: Store) -> None:
        found = self.rows(client, keep(store, every_kind()), "assembly")
        assert found == [
            *("assemble-q2", "assemble-q5"),
            *("assemble-s1", "assemble-s2", "glue-side", "assemble-b1", "assemble-b2", "glue-back", "assemble-d1"),
            *("glue-door", "assemble-q1", "assemble-q6", "assemble-q7", "assemble-q9"),
            *("assemble-q4", "assemble-q3", "assemble-q8"),
        ]

    def test_the_order_is_said_to_have_no_source(self, client: Client, store: Store) -> None:
        assert (
            "Common practice, no source" in client.get(f"/pieces/{keep(store, every_kind())}/kit?order=assembly").text
        )

    def test_each_is_milled_once_beside_parts_of_its_stock(self, client: Client, store: Store) -> None:
        found = self.rows(client, keep(store, every_kind()), "milling")
        cuts = [one.removeprefix("cut-") for one in found if one.startswith("cut-q")]
        assert sorted(cuts) == sorted(part.id for part in paper_cases.PARTS)
        assert cuts[:-1] == ["q2", "q5", "q6", "q7", "q9", "q4", "q3", "q8"]
        assert cuts[-1] == "q1"  # of other stock: its bottom is poplar

    def test_a_piece_of_other_parts_alone_has_both_orders(self, client: Client, store: Store) -> None:
        id = keep(store, every_kind(frames=[]))
        assert len(self.rows(client, id, "assembly")) == len(paper_cases.PARTS)
        # the drawer's bottom, and what is worked into the parts: by hand, see TestWhatIsWorkedIn
        assert len(self.rows(client, id, "milling")) == len(paper_cases.PARTS) + 1 + 7


class TestWhatIsWorkedIn:
    """By hand, of the cases: a drawer with a bottom, tenons, a breadboard end, boards, a top on slots."""

    def test_each_joint_is_done_in_one_go_through_all_parts(self, client: Client, store: Store) -> None:
        text = client.get(f"/pieces/{keep(store, every_kind(frames=[]))}/kit").text
        assert "<h3>Grooves, tongues, mortises, slots</h3>" in text
        found = re.findall(r'<li class="kit-row[^"]*" id="((?:groove|tongue|mortise|slot)-[^"]*)">', text)
        assert found == ["groove-q6", "groove-q1", "tongue-q6", "mortise-q2", "slot-q4", "slot-q8", "slot-q1"]

    @pytest.mark.parametrize("unit", ["mm", "in"])
    def test_each_tells_the_lengths_that_its_part_tells(self, client: Client, store: Store, unit: Unit) -> None:
        text = plain(client.get(f"/pieces/{keep(store, every_kind(unit))}/kit").text)
        lines = by_kind(unit)
        six = "6.0 mm" if unit == "mm" else '1/4"'
        assert f"12. Back over {six} deep, so that no tongue bottoms; none in the first board" in text
        assert f"12. Back {six} long; none on the last board" in text
        assert "7. Upper drawer × 2 6 mm deep, in its front" in text
        for kind in ("top", "breadboard"):
            slots = [one for one in lines[kind].today if one.startswith(("Slot", "Hole"))]
            assert len(slots) == 2
            assert plain(" ".join(slots)) in text

    @pytest.mark.parametrize(
        ("profile", "steps"),
        [
            ("tongue and groove", ["groove", "tongue"]),
            ("shiplap", ["lap"]),
            ("loose tongue", ["groove", "tongue"]),
        ],
    )
    def test_boards_are_worked_by_their_joint(self, profile: Any, steps: list[str]) -> None:
        boards = next(part for part in paper_cases.PARTS if part.kind == "boards")
        made = boards.model_copy(update={"profile": profile, "tongue_mm": 12.0})
        [line] = others(paper_cases.piece(parts=[made]))
        assert [work.joint for work in line.works] == steps
        told = {work.joint: plain(work.size) for work in line.works}
        assert (
            told
            == {
                "tongue and groove": {"groove": "over 12.0 mm", "tongue": "12.0 mm"},
                "shiplap": {"lap": "12.0 mm"},
                "loose tongue": {"groove": "6.0 mm", "tongue": "12.0 mm"},
            }[profile]
        )

    def test_what_does_not_fit_is_not_worked(self, client: Client, store: Store) -> None:
        boards = next(part for part in paper_cases.PARTS if part.kind == "boards")
        made = boards.model_copy(update={"boards": 2, "tongue_mm": 1.0})
        [line] = others(paper_cases.piece(parts=[made]))
        assert not line.fits
        assert line.works == ()

    @pytest.mark.parametrize(("handle", "step"), [("q2", "mortise"), ("q8", "slot"), ("q6", "tongue")])
    def test_a_cut_ticked_with_what_is_worked_in_before_is_still_right(
        self, client: Client, store: Store, handle: str, step: str
    ) -> None:
        id = keep(store, every_kind())
        [line] = [line for line in others(every_kind()) if line.id == handle]
        store.tick(id, handle, "cut", " ".join(f"{length:.3f}" for length in (*line.sizes, *line.cuts)))
        text = client.get(f"/pieces/{id}/kit").text
        assert "not what is wanted now" not in text
        assert f'<li class="kit-row is-done" id="cut-{handle}">' in text
        assert f'<li class="kit-row" id="{step}-{handle}">' in text

    def test_mortises_that_changed_leave_the_tenon_as_it_is(self, client: Client, store: Store) -> None:
        id = keep(store, every_kind())
        for step in ("cut", "mortise"):
            client.post(f"/pieces/{id}/kit", data={"step": step, "handle": "q2", "done": "1"})

        def wetter(document: str) -> tuple[str, str]:
            piece = pieces.load(document)
            defaults = piece.defaults.model_copy(update={"moisture_now_pct": 13.0})
            return piece.name, pieces.dump(piece.model_copy(update={"defaults": defaults}))

        store.change_piece(id, wetter)
        page = client.get(f"/pieces/{id}/kit").text
        told = [one for one in re.findall(r'<li class="kit-row.*?</li>', page, re.S) if "wanted now" in one]
        assert [re.findall(r'id="((?:cut|mortise)-q2)"', one) for one in told] == [["mortise-q2"]]

    def test_a_fixing_s_slot_is_its_own_step(self, client: Client, store: Store) -> None:
        text = client.get(f"/pieces/{keep(store, every_kind())}/kit").text
        assert 'aria-label="Slotted: 9. Rear fixing"' in text


class TestWhatIsCut:
    """By hand, of the cases: ten boards, a pair of leaves, two drawers of two sides and a bottom each."""

    @pytest.mark.parametrize(
        ("kind", "made", "labels"),
        [("boards", "10 boards", 1), ("door", "2 leaves", 2), ("drawer", "4 sides", 2), ("top", "1", 1)],
    )
    def test_pieces_are_counted(self, kind: str, made: str, labels: int) -> None:
        line = by_kind()[kind]
        assert (line.make, line.labels) == (made, labels)

    def test_slats_are_counted_where_their_number_is_told(self) -> None:
        told = SlatsPart(id="t1", name="Row", count=2, slat_width_mm=45.0, opening_mm=900.0, slats=10)
        [line] = others(paper_cases.piece(parts=[told]))
        assert line.make == "20 slats"
        assert by_kind()["slats"].make == "slats, number not told"

    @pytest.mark.parametrize("address", ["kit", "sheet", "labels"])
    def test_every_page_counts_them(self, client: Client, store: Store, address: str) -> None:
        text = plain(client.get(f"/pieces/{keep(store, every_kind())}/{address}").text)
        assert "10 boards" in text
        assert ("1 of 2" if address == "labels" else "2 leaves") in text

    def test_a_drawer_s_bottom_has_a_row_and_a_tick_of_its_own(self, client: Client, store: Store) -> None:
        id = keep(store, every_kind())
        size = by_kind()["drawer"].extra
        assert size is not None
        for address in ("kit", "sheet"):
            text = plain(client.get(f"/pieces/{id}/{address}").text)
            assert re.search(rf"Upper drawer, bottom (× )?2 {re.escape(plain(size.size))}", text)
        data = {"step": "extra", "handle": "q1", "done": "1"}
        assert client.post(f"/pieces/{id}/kit", data=data).status_code == 303
        page = client.get(f"/pieces/{id}/kit").text
        assert '<li class="kit-row is-done" id="extra-q1">' in page
        assert '<li class="kit-row" id="cut-q1">' in page

    def test_a_drawer_without_a_bottom_has_no_such_row(self, client: Client, store: Store) -> None:
        drawer = paper_cases.PARTS[0].model_copy(update={"front_groove_mm": None, "back_thickness_mm": None})
        id = keep(store, paper_cases.piece(parts=[drawer]))
        assert "extra-q1" not in client.get(f"/pieces/{id}/kit").text
        assert client.post(f"/pieces/{id}/kit", data={"step": "extra", "handle": "q1", "done": "1"}).status_code == 404

    def test_a_bottom_that_changed_since_is_told_beside_it_alone(self, client: Client, store: Store) -> None:
        id = keep(store, every_kind())
        for step in ("cut", "extra"):
            client.post(f"/pieces/{id}/kit", data={"step": step, "handle": "q1", "done": "1"})

        def wetter(document: str) -> tuple[str, str]:
            piece = pieces.load(document)
            drawer = piece.parts[0].model_copy(update={"bottom_moisture_now_pct": 12.0})
            return piece.name, pieces.dump(piece.model_copy(update={"parts": [drawer, *piece.parts[1:]]}))

        store.change_piece(id, wetter)
        page = client.get(f"/pieces/{id}/kit").text
        told = [one for one in re.findall(r'<li class="kit-row.*?</li>', page, re.S) if "wanted now" in one]
        assert [re.findall(r'id="((?:cut|extra)-q1)"', one) for one in told] == [["extra-q1"]]

    def test_the_panels_thickness_is_not_told_of_other_parts(self) -> None:
        assert {line.thickness for line in others(every_kind())} == {None}
        own = paper_cases.PARTS[0].model_copy(update={"thickness_mm": 14.0})
        [line] = others(paper_cases.piece(parts=[own]))
        assert line.thickness == 14.0


def test_advice_writes_a_tongue_as_its_label_does() -> None:
    [line] = [one for one in otherparts.others(paper_cases.piece("in", parts=paper_cases.PARTS)) if one.id == "q6"]
    assert 'tongue 1/4"' in line.short
    assert any('deeper than the 1/4" tongue' in advice for advice in line.advice)
