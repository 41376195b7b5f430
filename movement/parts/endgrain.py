"""A board by its end grain, as it is described and as it comes back: how it moves and cups, what ripping changes."""

import math
from typing import Annotated, Literal, Self

import numpy as np
from pydantic import BaseModel, Field, field_validator, model_validator

from movement import endgrain, glueup, swelling
from movement.endgrain import Change, Heart, Rings, Straight
from movement.errors import require_range
from movement.glueup import Strip, Turn
from movement.parts import answers
from movement.parts.base import AnySpecies, OwnSpecies, RingAngle, SeasonFields, species_of
from movement.parts.fields import Described, bounded, told
from movement.season import Season, across, through
from movement.species import Species
from movement.swelling import size_ratio
from movement.wood import cut

Hollow = Literal["bark side", "heart side", "neither"]
Width = Annotated[float, bounded(endgrain.WIDTH, "mm", "Width of the board today")]
Thickness = Annotated[float, bounded(endgrain.THICKNESS, "mm", "Thickness of the board today")]
Offset = Annotated[
    float,
    bounded(
        endgrain.OFFSET, "mm", "How far the heart lies to the right of the board's middle, seen with the bark side up"
    ),
]
KIND = told("Which way of telling the rings this is")

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

    kind: Annotated[Literal["edges"], KIND] = "edges"
    ring_left_deg: Annotated[RingAngle, told("Ring angle at the middle of the left edge", "°")]
    ring_right_deg: Annotated[RingAngle, told("Ring angle at the middle of the right edge", "°")]
    course: Annotated[
        Literal["arched", "leaning"], told("Whether the rings rise from both edges (arched) or lean one way")
    ] = "arched"

    def rings(self, width: float, thickness: float) -> Rings:
        """The rings as the core knows them."""
        return endgrain.from_edges(width, self.ring_left_deg, self.ring_right_deg, self.course == "arched")


class StraightRings(Described):
    """Rings that run nearly straight, told by their one angle."""

    kind: Annotated[Literal["straight"], KIND] = "straight"
    ring_angle_deg: RingAngle

    def rings(self, width: float, thickness: float) -> Rings:
        """The rings as the core knows them."""
        return Straight(self.ring_angle_deg)


class HeartRings(Described):
    """Rings told by where the heart lies: its depth below the face on the bark side, and how far off the middle."""

    kind: Annotated[Literal["heart"], KIND] = "heart"
    heart_depth_mm: Annotated[
        float, bounded(endgrain.DEPTH, "mm", "How far the heart lies below the face on the bark side")
    ]
    heart_offset_mm: Offset = 0.0

    def rings(self, width: float, thickness: float) -> Rings:
        """The rings as the core knows them."""
        depth, beside = self.heart_depth_mm - thickness / 2, self.heart_offset_mm
        return endgrain.near(Heart(depth, beside), width)


class ChordRings(Described):
    """Rings told by one that meets the middle of the face on the bark side: its rise over a chord."""

    kind: Annotated[Literal["chord"], KIND] = "chord"
    ring_chord_mm: Annotated[
        float, bounded(endgrain.CHORD, "mm", "Chord across a ring that meets the middle of the face on the bark side")
    ]
    ring_rise_mm: Annotated[float, bounded(endgrain.RISE, "mm", "How far that ring rises over its chord")]
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


AnyRings = Annotated[
    EdgeRings | StraightRings | HeartRings | ChordRings,
    Field(discriminator="kind"),
    told("How the growth rings lie on the board's end grain"),
]


class BoardRequest(SeasonFields):
    """One board by its end grain, with its year: the body of ``POST /api/v1/board``.

    Flat today, and at one moisture throughout, today and at the dry and the wet end. ``tongue_thickness_mm`` is what
    sits in a groove; null is the whole thickness. ``boards`` such boards are tried in a glue-up.
    """

    species: AnySpecies
    width_mm: Width
    thickness_mm: Thickness
    rings: AnyRings
    tongue_thickness_mm: Annotated[
        Thickness | None, told("Thickness of what sits in a groove; null: the whole thickness", "mm")
    ] = None
    boards: Annotated[int, Field(ge=BOARDS[0], le=BOARDS[1]), told("How many such boards are tried in a glue-up")] = 4

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
    width_mm: Annotated[float, told("Width of the strip today", "mm")]
    equivalent_ring_angle_deg: answers.EquivalentRingAngle
    coefficient_across: answers.CoefficientAcross
    cup_dry_mm: answers.CupDry
    cup_wet_mm: answers.CupWet


class GluedRow(BaseModel):
    """A glue-up that is flat today: how far it reaches out of flat, above and below together."""

    row: Annotated[
        Literal["halves", "thirds", "boards"],
        told("What is glued up: the halves or the thirds of the board, or such boards"),
    ]
    pieces: Annotated[int, told("How many pieces the glue-up has")]
    turn: Turn = Field(description="Of every other piece: same, rolled (about its length), ended (end for end).")
    out_of_flat_dry_mm: Annotated[float, told("How far it reaches out of flat when driest", "mm")]
    out_of_flat_wet_mm: Annotated[float, told("How far it reaches out of flat when wettest", "mm")]


class BoardResult(BaseModel):
    """How one board moves and cups; a positive cup has the bark side hollow.

    Cups are of the board free of any hold, at mid-thickness. ``groove_width_mm`` is the groove across the board's end
    in which the tongue stays free all year. The heart's place is null where the rings are taken as straight.
    """

    coefficient_radial: answers.CoefficientRadial
    coefficient_tangential: answers.CoefficientTangential
    coefficient_across: answers.CoefficientAcross
    coefficient_through: answers.CoefficientThrough
    tangential_share_pct: Annotated[float, told("Share of the movement across the width that is along the rings", "%")]
    equivalent_ring_angle_deg: answers.EquivalentRingAngle
    ring_angle_left_deg: Annotated[float, told("Ring angle at the left edge", "°")]
    ring_angle_middle_deg: Annotated[float, told("Ring angle at mid-width", "°")]
    ring_angle_right_deg: Annotated[float, told("Ring angle at the right edge", "°")]
    sawn: Annotated[str, told("How the board is sawn, in words")]
    heart_depth_mm: Annotated[
        float | None, told("How far the heart lies below the face on the bark side; null: straight rings", "mm")
    ]
    heart_offset_mm: Annotated[
        float | None, told("How far the heart lies to the right of the middle; null: straight rings", "mm")
    ]
    width_mm: Annotated[float, told("Width today", "mm")]
    width_dry_mm: answers.WidthDry
    width_wet_mm: answers.WidthWet
    thickness_mm: Annotated[float, told("Thickness today", "mm")]
    thickness_dry_mm: Annotated[float, told("Thickness when driest", "mm")]
    thickness_wet_mm: Annotated[float, told("Thickness when wettest", "mm")]
    cup_dry_mm: answers.CupDry
    cup_wet_mm: answers.CupWet
    hollow_dry: Annotated[Hollow, told("The side that is hollow when driest")]
    hollow_wet: Annotated[Hollow, told("The side that is hollow when wettest")]
    groove_width_mm: Annotated[
        float, told("Width of a groove across the board's end in which it stays free all year", "mm")
    ]
    moisture_now_pct: answers.MoistureNow
    moisture_dry_pct: answers.MoistureDry
    moisture_mid_pct: answers.MoistureMid
    moisture_wet_pct: answers.MoistureWet
    ripped: Annotated[list[RippedPiece], told("The board ripped, each strip by itself")]
    glued: Annotated[list[GluedRow], told("Glue-ups of strips and of such boards")]
    notes: answers.Notes
    sources: answers.Sources


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
