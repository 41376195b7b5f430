"""A board by its end grain, as it is described and as it comes back: how it moves and cups, what ripping changes."""

import math
from typing import Annotated, Literal, Self

import numpy as np
from pydantic import BaseModel, Field, field_validator, model_validator

from movement import endgrain, glueup, swelling
from movement.endgrain import Change, Heart, Rings, Straight
from movement.errors import require_range
from movement.glueup import Strip, Turn
from movement.parts.base import AnySpecies, OwnSpecies, RingAngle, SeasonFields, species_of
from movement.parts.fields import Described, bounded
from movement.season import Season, across, through
from movement.species import Species
from movement.swelling import size_ratio
from movement.wood import cut

Hollow = Literal["bark side", "heart side", "neither"]
Width = Annotated[float, bounded(endgrain.WIDTH, "mm")]
Thickness = Annotated[float, bounded(endgrain.THICKNESS, "mm")]
Offset = Annotated[
    float,
    bounded(endgrain.OFFSET, "mm"),
    Field(description="Of the heart from the board's middle: to the right, seen with the bark side up."),
]

BOARDS = (2, 12)
"""Boards of a glue-up; project limit, no source."""
RIPPED = (2, 3)
"""Into how many strips a board is tried ripped."""
_LEVEL = 0.0005
"""A cup less deep than this is none [mm]."""
_PLACES = 201

SOURCE_PLACE = (
    "Place in the log: rings as circles about the heart, the turned coefficient's mean over the width (derived)"
)
SOURCE_CUP = (
    "Cup: exact geometry of uniform movement along the radius and round the rings, free of stress (derived); wood "
    "varies from board to board, and what was left of old drying stresses adds to it"
)


class EdgeRings(Described):
    """Rings told by their angles at the middle of the two edges; arched rings rise from both towards the middle."""

    kind: Literal["edges"] = "edges"
    ring_left_deg: RingAngle
    ring_right_deg: RingAngle
    course: Literal["arched", "leaning"] = "arched"

    def rings(self, width: float, thickness: float) -> Rings:
        """The rings as the core knows them."""
        return endgrain.from_edges(width, self.ring_left_deg, self.ring_right_deg, self.course == "arched")


class StraightRings(Described):
    """Rings that run nearly straight, told by their one angle."""

    kind: Literal["straight"] = "straight"
    ring_angle_deg: RingAngle

    def rings(self, width: float, thickness: float) -> Rings:
        """The rings as the core knows them."""
        return Straight(self.ring_angle_deg)


class HeartRings(Described):
    """Rings told by where the heart lies: its depth below the face on the bark side, and how far off the middle."""

    kind: Literal["heart"] = "heart"
    heart_depth_mm: Annotated[float, bounded(endgrain.DEPTH, "mm")]
    heart_offset_mm: Offset = 0.0

    def rings(self, width: float, thickness: float) -> Rings:
        """The rings as the core knows them."""
        depth, beside = self.heart_depth_mm - thickness / 2, self.heart_offset_mm
        return endgrain.near(Heart(depth, beside), width)


class ChordRings(Described):
    """Rings told by one that meets the middle of the face on the bark side: its rise over a chord."""

    kind: Literal["chord"] = "chord"
    ring_chord_mm: Annotated[float, bounded(endgrain.CHORD, "mm")]
    ring_rise_mm: Annotated[float, bounded(endgrain.RISE, "mm")]
    heart_offset_mm: Offset = 0.0

    @model_validator(mode="after")
    def _possible(self) -> Self:
        radius = endgrain.ring_radius(self.ring_chord_mm, self.ring_rise_mm)
        require_range("heart offset", self.heart_offset_mm, -radius, radius, "mm", "the ring's own radius")
        return self

    def rings(self, width: float, thickness: float) -> Rings:
        """The rings as the core knows them."""
        radius = endgrain.ring_radius(self.ring_chord_mm, self.ring_rise_mm)
        depth = (radius**2 - self.heart_offset_mm**2) ** 0.5 - thickness / 2
        return endgrain.near(Heart(depth, self.heart_offset_mm), width)


AnyRings = Annotated[EdgeRings | StraightRings | HeartRings | ChordRings, Field(discriminator="kind")]


class BoardRequest(SeasonFields):
    """One board by its end grain, with its year: the body of ``POST /api/v1/board``.

    Flat today, and at one moisture throughout, today and at the dry and the wet end. ``tongue_thickness_mm`` is what
    sits in a groove; null is the whole thickness. ``boards`` such boards are tried in a glue-up.
    """

    species: AnySpecies
    width_mm: Width
    thickness_mm: Thickness
    rings: AnyRings
    tongue_thickness_mm: Thickness | None = None
    boards: Annotated[int, Field(ge=BOARDS[0], le=BOARDS[1])] = 4

    @field_validator("species")
    @classmethod
    def _find(cls, chosen: str | OwnSpecies) -> str | OwnSpecies:
        return chosen if isinstance(chosen, OwnSpecies) else species_of(chosen).name

    @model_validator(mode="after")
    def _possible(self) -> Self:
        endgrain.require_clear(self.place(), self.width_mm, self.thickness_mm)
        if self.tongue_thickness_mm is not None:
            require_range("tongue thickness", self.tongue_thickness_mm, 1.0, self.thickness_mm, "mm", "the board's own")
        return self

    def place(self) -> Rings:
        """The board's rings."""
        return self.rings.rings(self.width_mm, self.thickness_mm)

    def wood(self) -> Species:
        """The board's wood."""
        return species_of(self.species)

    def changes(self, season: Season) -> tuple[Change, Change]:
        """What becomes of dimensions along and round the rings at the dry and at the wet end."""
        wood = self.wood()
        dry, wet = (
            Change(
                *(
                    float(size_ratio(coefficient, season.now, moisture, wood.start_of_shrinkage))
                    for coefficient in (wood.coefficient_radial, wood.coefficient_tangential)
                )
            )
            for moisture in (season.dry, season.wet)
        )
        return dry, wet


class RippedPiece(BaseModel):
    """A strip of the board, by itself; a positive cup has the bark side hollow."""

    pieces: int = Field(description="Into how many equal pieces the board is ripped.")
    piece: int = Field(description="Which of them, from the left.")
    width_mm: float
    equivalent_ring_angle_deg: float
    coefficient_across: float
    cup_dry_mm: float
    cup_wet_mm: float


class GluedRow(BaseModel):
    """A glue-up that is flat today: how far it reaches out of flat, above and below together."""

    row: Literal["halves", "thirds", "boards"]
    pieces: int
    turn: Turn = Field(description="Of every other piece: same, rolled (about its length), ended (end for end).")
    out_of_flat_dry_mm: float
    out_of_flat_wet_mm: float


class BoardResult(BaseModel):
    """How one board moves and cups; a positive cup has the bark side hollow.

    Cups are of the board free of any hold, at mid-thickness. ``groove_width_mm`` is the groove across the board's end
    in which the tongue stays free all year. The heart's place is null where the rings are taken as straight.
    """

    coefficient_radial: float
    coefficient_tangential: float
    coefficient_across: float
    coefficient_through: float
    tangential_share_pct: float
    equivalent_ring_angle_deg: float
    ring_angle_left_deg: float
    ring_angle_middle_deg: float
    ring_angle_right_deg: float
    sawn: str
    heart_depth_mm: float | None
    heart_offset_mm: float | None
    width_mm: float
    width_dry_mm: float
    width_wet_mm: float
    thickness_mm: float
    thickness_dry_mm: float
    thickness_wet_mm: float
    cup_dry_mm: float
    cup_wet_mm: float
    hollow_dry: Hollow
    hollow_wet: Hollow
    groove_width_mm: float
    moisture_now_pct: float
    moisture_dry_pct: float
    moisture_mid_pct: float
    moisture_wet_pct: float
    ripped: list[RippedPiece]
    glued: list[GluedRow]
    notes: list[str]
    sources: list[str]


def result(asked: BoardRequest) -> BoardResult:
    """How a board moves and cups, and what ripping it or turning it in a glue-up changes."""
    season, wood, rings = asked.season(), asked.wood(), asked.place()
    width, thickness, changes = asked.width_mm, asked.thickness_mm, asked.changes(season)
    whole = Strip(-width / 2, width / 2)
    angle = rings.equivalent(whole.left, whole.right)
    stock = cut(wood, angle)
    wide, deep = across(season, stock), through(season, stock)
    angles = rings.angles(np.linspace(whole.left, whole.right, _PLACES))
    cups = [glueup.cup(rings, thickness, whole, change) for change in changes]
    tongue = asked.tongue_thickness_mm or thickness
    heart = rings if isinstance(rings, Heart) else None
    return BoardResult(
        coefficient_radial=wood.coefficient_radial,
        coefficient_tangential=wood.coefficient_tangential,
        coefficient_across=stock.across,
        coefficient_through=stock.through,
        tangential_share_pct=100 * math.cos(math.radians(angle)) ** 2,
        equivalent_ring_angle_deg=angle,
        ring_angle_left_deg=float(angles[0]),
        ring_angle_middle_deg=float(angles[_PLACES // 2]),
        ring_angle_right_deg=float(angles[-1]),
        sawn=endgrain.sawn(float(angles.min()), float(angles.max())),
        heart_depth_mm=None if heart is None else heart.below + thickness / 2,
        heart_offset_mm=None if heart is None else heart.beside,
        width_mm=width,
        width_dry_mm=width * wide.dry,
        width_wet_mm=width * wide.wet,
        thickness_mm=thickness,
        thickness_dry_mm=thickness * deep.dry,
        thickness_wet_mm=thickness * deep.wet,
        cup_dry_mm=cups[0],
        cup_wet_mm=cups[1],
        hollow_dry=hollow(cups[0]),
        hollow_wet=hollow(cups[1]),
        groove_width_mm=max(tongue * deep.dry + abs(cups[0]), tongue * deep.wet + abs(cups[1])),
        moisture_now_pct=season.now,
        moisture_dry_pct=season.dry,
        moisture_mid_pct=season.mid,
        moisture_wet_pct=season.wet,
        ripped=_ripped(asked, wood, rings, changes),
        glued=_glued(asked, rings, changes),
        notes=list(wood.notes),
        sources=[*wood.sources, swelling.SOURCE, SOURCE_PLACE, SOURCE_CUP],
    )


def _ripped(asked: BoardRequest, wood: Species, rings: Rings, changes: tuple[Change, Change]) -> list[RippedPiece]:
    found = []
    for pieces in RIPPED:
        for index, strip in enumerate(glueup.strips(asked.width_mm, pieces), start=1):
            angle = rings.equivalent(strip.left, strip.right)
            dry, wet = (glueup.cup(rings, asked.thickness_mm, strip, change) for change in changes)
            found.append(
                RippedPiece(
                    pieces=pieces,
                    piece=index,
                    width_mm=strip.right - strip.left,
                    equivalent_ring_angle_deg=angle,
                    coefficient_across=cut(wood, angle).across,
                    cup_dry_mm=dry,
                    cup_wet_mm=wet,
                )
            )
    return found


def _glued(asked: BoardRequest, rings: Rings, changes: tuple[Change, Change]) -> list[GluedRow]:
    found = []
    for row, pieces in (("halves", 2), ("thirds", 3), ("boards", asked.boards)):
        for turn in glueup.TURNS:
            if row == "boards":
                half = asked.width_mm / 2
                strips = tuple(Strip(-half, half, turn if index % 2 else "same") for index in range(pieces))
            else:
                strips = glueup.strips(asked.width_mm, pieces, turn)
            dry, wet = (glueup.out_of_flat(rings, asked.thickness_mm, strips, change) for change in changes)
            found.append(GluedRow(row=row, pieces=pieces, turn=turn, out_of_flat_dry_mm=dry, out_of_flat_wet_mm=wet))
    return found


def hollow(cup: float) -> Hollow:
    """The side that a cup is hollow on."""
    return "neither" if abs(cup) < _LEVEL else "bark side" if cup > 0 else "heart side"
