"""A run of boards as it is described and as it comes back, sized: a back, a drawer bottom."""

from collections.abc import Iterator
from dataclasses import replace
from math import inf
from typing import Annotated, Self

from pydantic import Field, model_validator

from movement.fits import boards, run
from movement.fits.boards import BoardHold, Profile
from movement.fits.panel import Clearances
from movement.fits.remedy import Say
from movement.fits.run import BoardsFit, Run
from movement.parts import answers, remedies
from movement.parts.base import Bench, Engagement, Gap
from movement.parts.fields import Described, bounded, told
from movement.parts.making import Cell, MakingFields, PartResult, at_least, at_most, conditions, counted
from movement.season import Ratios

Opening = Annotated[float, bounded(boards.OPENING, "mm", "Opening that the boards fill, across them")]
Face = Annotated[float, bounded(boards.FACE, "mm", "Face of a board: what shows of it, without tongue or lap")]
Boards = Annotated[int, bounded(boards.BOARDS, "", "Number of boards")]
Tongue = Annotated[
    float,
    bounded(
        boards.TONGUE,
        "mm",
        "Length of the tongue or lap, or the whole width of a loose tongue; null: as long as needed",
    ),
]
StockWidth = Annotated[float, bounded(boards.STOCK_WIDTH, "mm", "Width that the stock comes in")]

SOURCE_RULES = "Rules of fit: derived here from the geometry of the joint; the opening is taken to stay put"
SOURCE_ENGAGEMENT = "Least engagement: no published figure; about 3 mm (1/8 in) is common practice, no source"
_EXACT = 1e-9
_REACHES: dict[Profile, str] = {
    "tongue and groove": "tongue",
    "shiplap": "lap",
    "loose tongue": "loose tongue",
}


class BoardsNeeds(Described):
    """One run of boards across an opening.

    ``boards``, ``board_face_mm`` or the widths that the stock comes in say how the opening is divided; boards and face
    together are a run to check. The face is what shows, without tongue or lap. ``tongue_mm`` is the length of the
    tongue or lap, or the whole width of a loose tongue; null is as long as needed.
    """

    opening_mm: Opening
    board_face_mm: Face | None = None
    boards: Boards | None = None
    stock_widths_mm: Annotated[
        list[StockWidth], told("Widths that the stock comes in, to divide the opening by", "mm")
    ] = Field(default_factory=list, max_length=50)
    tongue_mm: Tongue | None = None
    profile: Annotated[Profile, told("How the boards meet")] = "tongue and groove"
    hold: Annotated[BoardHold, told("How each board is kept: centred (at mid-width), or fixed along one edge")] = (
        "centred"
    )
    least_engagement_mm: Annotated[
        Engagement, told("Least engagement of the tongue or lap in the driest season", "mm")
    ] = 3.0
    least_gap_mm: Annotated[Gap, told("Least gap at each joint in the wettest season", "mm")] = 0.5

    @model_validator(mode="after")
    def _divided(self) -> Self:
        if self.board_face_mm is None and self.boards is None and not self.stock_widths_mm:
            raise ValueError("Give a board face, a number of boards, or the widths of the stock.")
        return self

    def run(self, bench: Bench) -> Run:
        """What the run is sized for."""
        clearances = Clearances(self.least_engagement_mm, self.least_gap_mm, bench.clearances.tolerance)
        ratios = bench.ratios(bench.season, bench.wood)
        return Run(self.opening_mm, ratios, clearances, self.hold, self.profile)


class BoardsRequest(MakingFields, BoardsNeeds):
    """One run of boards with its stock and its year: the body of ``POST /api/v1/boards``."""


class BoardsResult(PartResult):
    """A run of boards, sized; gaps and engagement are those of every joint.

    ``board_width_mm`` is the face with the tongue or lap cut from it (the last board has none). ``engagement_*`` is the
    worse side of a loose tongue, slid wholly into one board; ``engagement_each_side_dry_mm`` is that of a loose tongue
    that stands centred. ``widest_board_mm`` is null where the wood does not move. ``end_gap_*`` are at both ends where
    boards are held at mid-width, else at the end that moves; the other end is tight.
    """

    hold: Annotated[BoardHold, told("How each board is kept")]
    profile: Annotated[Profile, told("How the boards meet")]
    opening_mm: answers.Opening
    boards: Annotated[int, told("Number of boards")]
    board_face_mm: Annotated[float, told("Face of each board today: what shows of it", "mm")]
    board_face_min_mm: Annotated[float, told("Narrowest face that works today", "mm")]
    board_face_max_mm: Annotated[float, told("Widest face that works today", "mm")]
    board_width_mm: Annotated[
        float, told("Width to rip each board to: its face with the tongue or lap cut from it", "mm")
    ]
    stock_width_mm: Annotated[
        float | None,
        told("Width of the stock that it is ripped from; null: none is listed, or none is wide enough", "mm"),
    ]
    tongue_mm: Annotated[float, told("Length of the tongue or lap, or whole width of a loose tongue", "mm")]
    tongue_needed_mm: Annotated[float, told("Shortest tongue or lap that serves", "mm")]
    widest_board_mm: Annotated[
        float | None, told("Widest face that this tongue allows; null: the wood does not move", "mm")
    ]
    gap_now_mm: answers.GapNow
    gap_mid_mm: answers.GapMid
    gap_dry_mm: answers.GapDry
    gap_wet_mm: answers.GapWet
    engagement_now_mm: answers.EngagementNow
    engagement_dry_mm: answers.EngagementDry
    engagement_wet_mm: answers.EngagementWet
    engagement_each_side_dry_mm: Annotated[
        float | None,
        told(
            "Engagement in each board of a loose tongue that stands centred, when driest; null: no loose tongue", "mm"
        ),
    ]
    end_gap_now_mm: Annotated[float, told("Gap at the end that moves, today", "mm")]
    end_gap_dry_mm: Annotated[float, told("Gap at the end that moves, when driest", "mm")]
    end_gap_wet_mm: Annotated[float, told("Gap at the end that moves, when wettest", "mm")]
    end_cover_mm: Annotated[
        float, told("How wide a rebate or groove the end needs, to hold the last board when driest", "mm")
    ]
    growth_wet_mm: answers.GrowthWet
    shrinkage_dry_mm: answers.ShrinkageDry
    margin_dry_mm: answers.MarginDry
    margin_wet_mm: answers.MarginWet
    bias_mm: answers.Bias
    bias: answers.BiasWord

    def cells(self, say: Say) -> dict[str, Cell]:
        """The run in a gap table: the width to rip each board to, the gap and the engagement at each joint."""
        also = (
            counted(self.boards, "board"),
            f"face {say(self.board_face_mm)}",
            f"{_REACHES[self.profile]} {say(self.tongue_mm, direction='up')}",
        )
        return super().cells(say) | {
            "hold": self.hold,
            "opening_mm": self.opening_mm,
            "cut_width_mm": self.board_width_mm,
            "gap_now_mm": self.gap_now_mm,
            "gap_dry_mm": self.gap_dry_mm,
            "gap_wet_mm": self.gap_wet_mm,
            "engagement_now_mm": self.engagement_now_mm,
            "engagement_dry_mm": self.engagement_dry_mm,
            "bias_mm": self.bias_mm,
            "bias": self.bias,
            "also": "; ".join(also),
        }


def fit(needs: BoardsNeeds, bench: Bench) -> BoardsFit:
    """The run's fit by the rules of its hold and profile."""
    return run.fit(
        needs.run(bench),
        boards=needs.boards,
        face=needs.board_face_mm,
        stock=needs.stock_widths_mm,
        tongue=needs.tongue_mm,
        step=bench.width_step,
    )


def result(needs: BoardsNeeds, bench: Bench) -> BoardsResult:
    """Size a run of boards and say all that a page or the JSON API shows of it.

    Raises
    ------
    RangeError
        A length or a number out of range, or stock too narrow for its tongue.
    """
    found = fit(needs, bench)
    dry, mid, wet = found.run.ratios.dry, found.run.ratios.mid, found.run.ratios.wet
    widest = found.run.widest_face(found.tongue)
    loose = (found.tongue - found.gap_at(dry)) / 2 if needs.profile == "loose tongue" else None
    return BoardsResult(
        fits=found.fits,
        hold=needs.hold,
        profile=needs.profile,
        opening_mm=needs.opening_mm,
        boards=found.boards,
        board_face_mm=found.face,
        board_face_min_mm=found.narrowest,
        board_face_max_mm=found.widest,
        board_width_mm=found.board_width,
        stock_width_mm=found.stock_width,
        tongue_mm=found.tongue,
        tongue_needed_mm=found.tongue_needed,
        widest_board_mm=None if widest == inf else max(widest, 0.0),
        gap_now_mm=found.gap,
        gap_mid_mm=found.gap_at(mid),
        gap_dry_mm=found.gap_at(dry),
        gap_wet_mm=found.gap_at(wet),
        engagement_now_mm=found.engagement_at(1.0),
        engagement_dry_mm=found.engagement_at(dry),
        engagement_wet_mm=found.engagement_at(wet),
        engagement_each_side_dry_mm=loose,
        end_gap_now_mm=found.end_gap_at(1.0),
        end_gap_dry_mm=found.end_gap_at(dry),
        end_gap_wet_mm=found.end_gap_at(wet),
        end_cover_mm=found.end_cover,
        growth_wet_mm=found.growth,
        shrinkage_dry_mm=found.shrinkage,
        margin_dry_mm=found.margin_dry,
        margin_wet_mm=found.margin_wet,
        bias_mm=found.bias,
        bias=found.bias_word,
        advice=list(advice(found, needs, bench)),
        **conditions(bench, SOURCE_RULES, SOURCE_ENGAGEMENT),
    )


def advice(found: BoardsFit, needs: BoardsNeeds, bench: Bench) -> tuple[str, ...]:
    """Sentences for the maker, the most useful first, lengths written by the bench."""
    if found.fits:
        return tuple(_making(found, needs, bench))
    return (*_failures(found, bench), *_remedies(found, bench))


def _making(found: BoardsFit, needs: BoardsNeeds, bench: Bench) -> Iterator[str]:
    say, asked = bench.say, needs.board_face_mm
    if asked is not None and abs(found.face - asked) > _EXACT:
        yield (
            f"Boards of {say(asked)} do not fill the opening evenly: rip {found.boards} boards to a face of "
            f"{at_most(found.face, bench)}."
        )
    if found.stock and found.stock_width is None:
        yield f"None of the stock is {at_least(found.board_width, bench)} wide, as each board has to be."
    if needs.profile == "tongue and groove":
        tongue = at_least(found.tongue, bench)
        yield f"Plough the grooves a little deeper than the {tongue} tongue, so that it never bottoms."
    if needs.profile == "loose tongue":
        half = at_least(found.tongue / 2, bench)
        yield f"Plough every edge {half} deep, so that the loose tongue never keeps the joint open."
    end = "At each end" if needs.hold == "centred" else "Start tight at the held edge; at the other end"
    yield f"{end} make the rebate or groove at least {at_least(found.end_cover, bench)} wide."


def _failures(found: BoardsFit, bench: Bench) -> Iterator[str]:
    clearances = found.run.clearances
    if found.margin_dry < -_EXACT:
        short = float(boards.tongue_for(-found.margin_dry, found.run.profile))
        yield (
            f"In the driest season a joint keeps too little: the tongue is {at_least(short, bench)} too short to hold "
            f"{bench.say(clearances.engagement)} of engagement."
        )
    if found.margin_wet < -_EXACT:
        yield (
            f"In the wettest season the joints close: each has {at_least(-found.margin_wet, bench)} too little to keep "
            f"a gap of {bench.say(clearances.gap)}."
        )


def _remedies(found: BoardsFit, bench: Bench) -> Iterator[str]:
    if max(found.narrowest, boards.FACE[0]) <= found.widest:
        yield _recut(found, bench)
        return
    least = _least_tongue(found, found.run.ratios)
    if least <= boards.TONGUE[1]:
        yield (
            f"Make the tongue at least {at_least(least, bench)} long, and the boards no wider than "
            f"{at_most(found.widest, bench)} on the face."
        )
    yield from _narrower(found, bench)
    yield from remedies.other_stock(bench, lambda ratios: _enough(found, ratios, bench))


def _recut(found: BoardsFit, bench: Bench) -> str:
    span = f"{at_least(found.narrowest, bench)} to {at_most(found.widest, bench)}"
    if found.face > found.widest:
        off = at_least(found.face - found.widest, bench)
        return f"Rip the boards to a face of {span}: at least {off} off each."
    return f"Use boards with a face of {span}, or more boards of this face: the joints stand too wide."


def _narrower(found: BoardsFit, bench: Bench) -> Iterator[str]:
    widest = found.run.widest_face(found.tongue)
    if widest < boards.FACE[0]:
        yield f"No board works with a tongue of {at_least(found.tongue, bench)} and these clearances, however narrow."
    elif widest >= found.run.pitch(boards.BOARDS[1]):
        count = found.run.fewest(widest)
        if found.run.face_range(count, found.tongue)[1] >= boards.FACE[0]:
            yield f"Use {count} narrower boards: this tongue allows a face of up to {at_most(widest, bench)}."


def _enough(found: BoardsFit, ratios: Ratios, bench: Bench) -> str:
    least = _least_tongue(found, ratios)
    if least <= found.tongue + _EXACT:
        return "this tongue is long enough"
    return f"a tongue of {at_least(least, bench)} is long enough"


def _least_tongue(found: BoardsFit, ratios: Ratios) -> float:
    """The shortest tongue with which so many boards work [mm]: at the widest face that stays open."""
    other = replace(found.run, ratios=ratios)
    widest = other.face_range(found.boards, None)[1]
    needed = boards.reach_needed(widest, other.pitch(found.boards) - widest, ratios.dry, other.clearances)
    return float(boards.tongue_for(needed, other.profile))
