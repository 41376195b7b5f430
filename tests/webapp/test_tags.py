"""Labels and kit order beside each other: the same pieces of wood, as many of each, cut to the same sizes."""

import re
from collections import Counter
from typing import Any, get_args

import pytest
from fastapi import FastAPI

from movement import piece as pieces
from movement.fits.boards import Profile
from movement.lengths import Unit
from movement.parts.any import SizedPart, SlatsPart
from movement.piece import Frame, Piece
from movement.tables import DATA
from webapp import lines, otherparts, tags
from webapp.store import Store
from webapp.tags import Tag
from webapp.words import Words

from . import paper_cases
from .conftest import Client
from .reading import plain

UNITS: tuple[Unit, ...] = get_args(Unit)
UNKNOWN = "length not known"


def with_members(piece: Piece) -> Piece:
    """A piece whose frames tell how wide their stiles and rails are."""
    frames = [frame.model_copy(update={"member_width_mm": 50.0}) for frame in piece.frames]
    return piece.model_copy(update={"frames": frames})


def demo(unit: Unit) -> Piece:
    piece = pieces.load((DATA / "demo_piece.json").read_bytes())
    return with_members(piece).model_copy(update={"unit": unit})


def every_kind(unit: Unit) -> Piece:
    """A part of every kind, one that does not fit, a row of slats that is counted, a run of boards made twice."""
    boards = next(part for part in paper_cases.PARTS if part.kind == "boards")
    more: list[SizedPart] = [
        SlatsPart(id="r1", name="Row", count=2, slat_width_mm=45.0, opening_mm=900.0, slats=16, limit_mm=15.0),
        boards.model_copy(update={"id": "r2", "name": "Lining", "count": 2, "profile": "shiplap"}),
        boards.model_copy(update={"id": "r3", "name": "Ceiling", "profile": "loose tongue", "tongue_mm": 12.0}),
    ]
    return with_members(paper_cases.piece(unit, parts=[*paper_cases.PARTS, paper_cases.TOO_LARGE, *more]))


PIECES = {
    **{f"demo, {unit}": demo(unit) for unit in UNITS},
    **{f"every kind, {unit}": every_kind(unit) for unit in UNITS},
}


@pytest.fixture
def store(app: FastAPI) -> Store:
    kept: Store = app.state.store
    return kept


@pytest.fixture(params=PIECES)
def piece(request: pytest.FixtureRequest) -> Piece:
    return PIECES[request.param]


@pytest.fixture
def id(store: Store, piece: Piece) -> str:
    return keep(store, piece)


def keep(store: Store, piece: Piece) -> str:
    return store.add_piece(piece.name, pieces.dump(piece)).id


class Label:
    """A label as it is read: its title, which it is, how many pieces it stands for, what it is cut to."""

    def __init__(self, text: str) -> None:
        def read(name: str) -> str:
            return plain(" ".join(re.findall(rf'"label-{name}"[^>]*>(.*?)</(?:p|span)>', text, re.S)))

        number = read("number")
        self.name = read("name")
        self.title = f"{number}. {self.name}" if number else self.name
        self.counts = read("copy")
        self.size, self.what, self.gap = read("size"), read("what"), read("gap")
        stands = re.search(r"(?<!of )\b(\d+) (boards|sides|slats)$", self.counts)
        self.pieces = int(stands[1]) if stands else 1
        self.is_made = "Does not fit" not in text


def labels(client: Client, id: str, query: str = "") -> list[Label]:
    text = client.get(f"/pieces/{id}/labels?{query}").text
    found = [Label(one) for one in re.findall(r'<section class="label.*?</section>', text, re.S)]
    return [label for label in found if "continued" not in label.counts]


def milling(client: Client, id: str) -> str:
    return client.get(f"/pieces/{id}/kit").text


def rows(text: str, *steps: str) -> list[str]:
    found = re.findall(r'<li class="kit-row[^"]*" id="(\w+)-[^"]*">(.*?)</li>', text, re.S)
    return [row for step, row in found if step in steps]


def cut(text: str) -> tuple[Counter[str], Counter[tuple[str, str]]]:
    """What the kit order has cut: how many pieces under each title, and how many of each size."""
    counts: Counter[str] = Counter()
    sizes: Counter[tuple[str, str]] = Counter()
    for row in rows(text, "cut", "extra"):
        told = re.search(r'"kit-title"><span><strong>(.*?)</strong>(.*?)</span>(.*?)</p>', row, re.S)
        assert told
        title, times, size = (plain(one) for one in told.groups())
        number = int(re.sub(r"\D", "", times) or 1)
        counts[title] += number
        runs = [
            (int(last or first) - int(first) + 1, length)
            for first, last, length in re.findall(r"boards? (\d+)(?: to (\d+))?: ([^,]+),", plain(row))
        ]
        whole = sum(several for several, _ in runs) or number
        for several, length in runs or [(number, size)]:
            sizes[title, length] += several * number // whole
    return counts, sizes


def members(text: str) -> tuple[Counter[tuple[str, str, str]], dict[str, str]]:
    """The members that the kit order counts, by frame and length; the setting of each frame's groove."""
    found: Counter[tuple[str, str, str]] = Counter()
    settings: dict[str, str] = {}
    for card in text.split('<section class="card stack"')[1:]:
        setting = plain(re.search(r"<h2[^>]*>(.*?)</h2>", card, re.S)[1])  # type: ignore[index]
        for row in rows(card, "groove"):
            frame = plain(re.search(r"<strong>(.*?)</strong>", row, re.S)[1])  # type: ignore[index]
            if setting.startswith("Groove "):
                settings[frame] = setting.removeprefix("Groove ")
            for number, name, length in re.findall(
                rf"(\d+) (stile|rail|muntin)s?, ({UNKNOWN}|[^;]+?(?= long| between))", plain(row)
            ):
                found[frame, name, length] += int(number)
    return found, settings


class TestTheKitAndTheLabels:
    def test_they_name_the_same_parts_with_as_many_pieces(self, client: Client, id: str) -> None:
        told, text = labels(client, id), milling(client, id)
        counts, sizes = cut(text)
        of_labels: Counter[str] = Counter()
        for label in told:
            if label.is_made:
                of_labels[label.title] += label.pieces
                assert (label.title, label.size) in sizes
        extras = {title for title in counts if title.endswith(", bottom")}
        assert of_labels == Counter({title: number for title, number in counts.items() if title not in extras})
        for title in extras:
            assert title.removesuffix(", bottom") in of_labels

    def test_every_piece_has_a_label_with_the_size_that_it_is_cut_to(self, client: Client, id: str) -> None:
        _, sizes = cut(milling(client, id))
        told = [label for label in labels(client, id, "pieces=1") if label.is_made]
        assert {label.pieces for label in told} == {1}
        assert Counter((label.title, label.size) for label in told) == sizes

    def test_every_member_has_a_label_with_its_length_and_its_groove(self, client: Client, id: str) -> None:
        wanted, settings = members(milling(client, id))
        assert wanted
        found: Counter[tuple[str, str, str]] = Counter()
        for label in labels(client, id, "members=1"):
            told = re.fullmatch(r"(Stile|Rail|Muntin): (.*)", label.name)
            if told:
                found[told[2], told[1].lower(), label.size or UNKNOWN] += 1
                assert re.fullmatch(rf"Groove at (one edge|both edges), {re.escape(settings[told[2]])}", label.gap)
                assert label.size or label.what.startswith(UNKNOWN)
        assert found == wanted

    def test_what_does_not_fit_is_labelled_as_such_and_not_cut(self, client: Client, id: str) -> None:
        text = milling(client, id)
        counts, _ = cut(text)
        failing = {label.title for label in labels(client, id, "pieces=1&members=1") if not label.is_made}
        for title in failing:
            assert title not in counts
            assert f"{title} does not fit" in plain(text)

    def test_no_two_labels_are_for_the_same_piece(self, client: Client, id: str) -> None:
        found = [(label.title, label.counts) for label in labels(client, id, "pieces=1&members=1")]
        assert len(set(found)) == len(found)


def of(part: Any) -> list[Tag]:
    [line] = otherparts.others(paper_cases.piece(parts=[part]))
    return list(tags.pieces(line, "Place"))


def told(tag: Tag) -> tuple[str, str, list[str]]:
    return tag.size.replace("\u00a0", " "), tag.what, [", ".join(one).replace("\u00a0", " ") for one in tag.counts]


class TestPieces:
    """By hand: ten boards with a face of 58.0 mm and a tongue or a lap of 6.0 mm, 64.0 mm together."""

    BOARDS = next(part for part in paper_cases.PARTS if part.kind == "boards")

    def test_the_first_and_the_last_board_are_told_apart(self) -> None:
        first, middle, last = of(self.BOARDS)
        assert told(first) == ("64.0 mm", "tongue at one edge, the other plain", ["board 1 of 10"])
        assert told(middle) == (
            "64.0 mm",
            "tongue at one edge, groove at the other",
            [f"board {number} of 10" for number in range(2, 10)],
        )
        assert told(last) == ("58.0 mm", "groove at one edge, the other plain", ["board 10 of 10"])

    @pytest.mark.parametrize(
        ("profile", "edges", "narrower"),
        [
            ("shiplap", ["lap at one edge, the other plain", "lap at one edge, rebate at the other"], 6.0),
            ("loose tongue", ["groove at one edge, the other plain", "groove at both edges"], 0.0),
        ],
    )
    def test_so_they_are_in_every_joint(self, profile: Profile, edges: list[str], narrower: float) -> None:
        made = self.BOARDS.model_copy(update={"profile": profile, "tongue_mm": 12.0 if narrower == 0 else 6.0})
        found = [told(tag) for tag in of(made)]
        assert [what for _, what, _ in found[:2]] == edges
        whole, last = (float(size.removesuffix(" mm")) for size, _, _ in (found[0], found[-1]))
        assert whole - last == pytest.approx(narrower)

    def test_two_boards_have_none_between(self) -> None:
        made = self.BOARDS.model_copy(update={"boards": 2, "opening_mm": 120.0})
        assert [counts for _, _, counts in map(told, of(made))] == [["board 1 of 2"], ["board 2 of 2"]]

    def test_of_a_run_that_is_made_twice_each_board_says_which(self) -> None:
        made = self.BOARDS.model_copy(update={"count": 2})
        counts = [one for tag in of(made) for one in told(tag)[2]]
        assert len(counts) == 20
        assert (counts[0], counts[2], counts[-1]) == (
            "1 of 2, board 1 of 10",
            "1 of 2, board 3 of 10",
            "2 of 2, board 10 of 10",
        )

    def test_a_drawer_s_bottom_is_of_its_own_stock(self) -> None:
        *sides, bottom = of(paper_cases.PARTS[0])
        assert [one for tag in sides for one in told(tag)[2]] == [
            *("1 of 2, side 1 of 2", "1 of 2, side 2 of 2", "2 of 2, side 1 of 2", "2 of 2, side 2 of 2")
        ]
        assert (bottom.name, told(bottom)[2]) == ("Upper drawer, bottom", ["1 of 2", "2 of 2"])
        assert bottom.stock.startswith("Yellow-poplar")
        assert "slot" in bottom.short

    def test_slats_that_are_not_counted_share_one(self) -> None:
        [tag] = of(next(part for part in paper_cases.PARTS if part.kind == "slats"))
        assert tag.counts == [()]


def of_members(*panels: Any, **more: Any) -> list[Tag]:
    frame = Frame(id="f", name="F", groove_depth_mm=10.0, member_width_mm=50.0, panels=list(panels), **more)
    [drawn] = lines.frames(paper_cases.piece(frames=[frame]))
    return list(tags.members_of(drawn, "Place", Words("mm")))


class TestMembers:
    """By hand: members 50 mm wide around panels of a sight width of 300 mm and sight heights of 400 and 500 mm."""

    UPPER = paper_cases.panel("a", "", 300.0, 400.0)
    LOWER = paper_cases.panel("b", "", 300.0, 500.0)

    def test_the_rail_between_two_panels_is_grooved_at_both_edges(self) -> None:
        found = of_members(self.UPPER, self.LOWER)
        seen = [
            (tag.name, told(tag)[0], told(tag)[2], tag.short.partition(",")[0].removeprefix("Groove at "))
            for tag in found
        ]
        assert seen == [
            ("Stile: F", "1050.0 mm", ["stile 1 of 2"], "one edge"),
            ("Stile: F", "1050.0 mm", ["stile 2 of 2"], "one edge"),
            ("Rail: F", "300.0 mm", ["rail 1 of 3"], "one edge"),
            ("Rail: F", "300.0 mm", ["rail 2 of 3"], "both edges"),
            ("Rail: F", "300.0 mm", ["rail 3 of 3"], "one edge"),
        ]
        assert found[0].what == "long; 50.0 mm wide"
        assert found[2].what == "between shoulders, add tenons; 50.0 mm wide"

    def test_so_is_a_muntin(self) -> None:
        *_, muntin = of_members(self.UPPER, paper_cases.panel("b", "", 200.0, 400.0), layout="row")
        assert (muntin.name, told(muntin)[0], muntin.counts) == ("Muntin: F", "400.0 mm", [()])
        assert muntin.short.startswith("Groove at both edges, 10.0 mm deep")

    def test_a_frame_that_is_made_twice_has_twice_as_many(self) -> None:
        found = of_members(self.UPPER.model_copy(update={"count": 2}))
        counts = [one for tag in found for one in told(tag)[2]]
        assert len(counts) == 8
        assert (counts[0], counts[-1]) == ("frame 1 of 2, stile 1 of 2", "frame 2 of 2, rail 2 of 2")

    def test_where_its_panels_differ_in_number_one_frame_is_labelled(self) -> None:
        assert len(of_members(self.UPPER.model_copy(update={"count": 2}), self.LOWER)) == 5
