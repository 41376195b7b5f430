"""A piece: its frames and other parts, its climate and its shop, read from and written to its JSON file."""

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cached_property, partial
from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, ValidationError, model_validator

from movement import lengths, wood
from movement.errors import PieceFileError
from movement.exposure import Exposure
from movement.finish import BARE
from movement.fits.cutter import Cutter
from movement.fits.panel import Clearances, Hold
from movement.fits.remedy import Say
from movement.journey import Journey
from movement.lengths import Unit
from movement.parts.any import KIND, AnyPart, DrawerPart, Key, PartFrame
from movement.parts.base import (
    AnySpecies,
    Bench,
    ClearanceFields,
    CutterFields,
    GrooveDepth,
    Moisture,
    Name,
    OwnSpecies,
    PanelHold,
    RingAngle,
    SizeStep,
    species_of,
)
from movement.parts.climates import AnyClimate
from movement.parts.fields import Described, bounded, told
from movement.parts.panel import EndPlay, PanelNeeds, TongueThickness
from movement.parts.spread import ConfidenceFields, Sureness
from movement.parts.stays import Day, FinishName, HowFollowing, Stays, Thickness, journey, section
from movement.season import Season
from movement.species import Species, UnknownSpeciesError
from movement.wood import Wood

FORMAT: Literal["seasonal-panel-fit/piece"] = "seasonal-panel-fit/piece"
VERSION: Literal[1] = 1
MOST_FRAMES = 200
MOST_PARTS = 2000
MEMBER_WIDTH = (5.0, 500.0)
"""Width of a frame's stiles, rails and muntins [mm]; project limit, no source."""
MOST_BYTES = 5_000_000
"""A piece file larger than this is refused; 2,000 panels take about 1 MB."""

Layout = Literal["column", "row"]
MemberWidth = Annotated[
    float, bounded(MEMBER_WIDTH, "mm", "Width of stiles, rails and muntins; no panel is sized from it; null: not told")
]


class Defaults(ClearanceFields, CutterFields, ConfidenceFields):
    """What every part of a piece takes unless it says otherwise."""

    species: AnySpecies = "Walnut, black"
    ring_angle_deg: RingAngle = 0.0
    hold: PanelHold = "centred"
    moisture_now_pct: Moisture = 8.0
    tongue_thickness_mm: TongueThickness = 6.0
    end_play_mm: EndPlay = 1.0
    width_step_mm: SizeStep = 0.5
    thickness_mm: Thickness = 12.0
    following: HowFollowing = "equilibrium"
    finish: FinishName = BARE


class PanelPart(PanelNeeds, PartFrame):
    """A panel of a frame. What is null is the piece's."""

    kind: Annotated[Literal["panel"], KIND] = "panel"
    hold: Annotated[Hold | None, told("How the panel is kept; null: as the piece")] = None
    end_play_mm: Annotated[
        EndPlay | None, told("Room at each end of the panel, along the grain; null: the piece's", "mm")
    ] = None  # type: ignore[assignment]


class Frame(Described):
    """A frame, grooved at one setting for all its panels.

    ``layout`` and ``member_width_mm`` are for its drawing and for the lengths of its stiles, rails and muntins: the
    panels stand in a column, the first on top, or in a row from the left. ``door`` that is the id of no door of the
    piece is as null.
    """

    id: Key
    name: Name = ""
    groove_depth_mm: Annotated[
        GrooveDepth | None, told("Groove depth for every panel of the frame; null: it is recommended", "mm")
    ] = None
    layout: Annotated[
        Layout, told("How the panels stand: in a column, the first on top, or in a row from the left")
    ] = "column"
    member_width_mm: MemberWidth | None = None
    door: Annotated[Key | None, told("Id of the framed door whose leaves it makes; null: of none")] = None
    panels: Annotated[list[PanelPart], told("The panels in the frame's grooves")] = Field(
        default_factory=list, max_length=MOST_PARTS
    )


class Piece(Described):
    """A piece of furniture, as its file holds it."""

    _bare: ClassVar[frozenset[str]] = frozenset({"name", "unit", "climate_name", "frames", "parts"})
    format: Annotated[Literal["seasonal-panel-fit/piece"], told("Mark of a piece file")] = FORMAT
    version: Annotated[Literal[1], told("Version of the piece file")] = VERSION
    name: Annotated[str, Field(min_length=1, max_length=80), told("Name of the piece")]
    unit: Annotated[Unit, told("Unit that lengths are written in for the maker; the file's own are in mm")] = "mm"
    climate: AnyClimate
    climate_name: Annotated[Name, told("Name of the climate, where it has one")] = ""
    stays: Stays = Field(default_factory=list)
    home_first: Annotated[Day | None, told("Day of coming home, as 2025-03-31; needed with stays")] = None
    defaults: Annotated[Defaults, told("What every part takes unless it says otherwise")] = Defaults()
    own_species: Annotated[list[OwnSpecies], told("Species of the maker's own that the piece uses")] = Field(
        default_factory=list, max_length=200
    )
    frames: Annotated[list[Frame], told("Frames with their panels")] = Field(
        default_factory=list, max_length=MOST_FRAMES
    )
    parts: Annotated[list[AnyPart], told("Parts that stand in no frame")] = Field(
        default_factory=list, max_length=MOST_PARTS
    )

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        keys = [frame.id for frame in self.frames] + [part.id for _, part in self.panels()]
        keys += [part.id for part in self.parts]
        if len(set(keys)) < len(keys):
            raise ValueError(f"Each frame and part needs an id of its own; used twice: {_twice(keys)}.")
        if len(keys) > MOST_PARTS:
            raise ValueError(f"A piece holds at most {MOST_PARTS} frames and parts; this one has {len(keys)}.")
        named = [own.name.casefold() for own in self.own_species]
        if len(set(named)) < len(named):
            raise ValueError(f"Each own species needs a name of its own; used twice: {_twice(named)}.")
        _ = self._journey
        self._known("the piece's own stock", self.defaults.species)
        for frame, panel in self.panels():
            self._known(f"{frame.name or frame.id}, {panel.name or panel.id}", panel.species)
        for part in self.parts:
            self._known(part.name or part.id, part.species)
            if isinstance(part, DrawerPart):
                self._known(f"{part.name or part.id}, bottom", part.bottom_species)
                self._known(f"{part.name or part.id}, case", part.case_species)
        return self

    def _known(self, where: str, chosen: str | OwnSpecies | None) -> None:
        try:
            if chosen is not None:
                self.species(chosen)
        except UnknownSpeciesError as error:
            raise UnknownSpeciesError(error.name, error.suggestions, f"{where}: {error}") from None

    def panels(self) -> Iterator[tuple[Frame, PanelPart]]:
        """Every panel with its frame, in order."""
        for frame in self.frames:
            for part in frame.panels:
                yield frame, part

    @cached_property
    def _own(self) -> dict[str, Species]:
        return {own.name.casefold(): own.species() for own in self.own_species}

    def species(self, chosen: str | OwnSpecies) -> Species:
        """A species by name, the piece's own first.

        Raises
        ------
        UnknownSpeciesError
            Neither the piece nor the table has it.
        """
        if isinstance(chosen, str) and chosen.strip().casefold() in self._own:
            return self._own[chosen.strip().casefold()]
        return species_of(chosen)

    @cached_property
    def _woods(self) -> dict[tuple[Species, float], Wood]:
        return {}

    def wood(self, part: PartFrame) -> Wood:
        """A part's stock."""
        chosen = self.species(self.defaults.species if part.species is None else part.species)
        angle = self.defaults.ring_angle_deg if part.ring_angle_deg is None else part.ring_angle_deg
        return self._cut(chosen, angle)

    def _cut(self, chosen: Species, angle: float) -> Wood:
        key = (chosen, angle)
        if key not in self._woods:
            self._woods[key] = wood.cut(chosen, angle)
        return self._woods[key]

    @cached_property
    def _journey(self) -> Journey | None:
        return journey(self.stays, self.climate, self.home_first)

    @cached_property
    def _seasons(self) -> dict[tuple[float, float], Season]:
        return {}

    def exposure(self, thickness: float | None = None) -> Exposure:
        """What a part of this thickness [mm] is exposed to from assembly on; ``None``: of the piece's."""
        defaults = self.defaults
        thickness = defaults.thickness_mm if thickness is None else thickness
        return Exposure(self.climate.year(), section(defaults.following, thickness, defaults.finish), self._journey)

    def season(self, part: PartFrame) -> Season:
        """A part's season."""
        return self._season(self.moisture_now(part), part.thickness_mm)

    def moisture_now(self, part: PartFrame) -> float:
        """The moisture of a part's stock today [% MC]: its own, or the piece's where it has none."""
        return self.defaults.moisture_now_pct if part.moisture_now_pct is None else part.moisture_now_pct

    def _season(self, now: float, thickness: float | None) -> Season:
        thickness = self.defaults.thickness_mm if thickness is None else thickness
        key = (now, thickness)
        if key not in self._seasons:
            self._seasons[key] = self.exposure(thickness).season(now)
        return self._seasons[key]

    def hold(self, part: PanelPart) -> Hold:
        """How a part is held."""
        return part.hold or self.defaults.hold

    def needs(self, part: PanelPart) -> PanelNeeds:
        """A part's dimensions, with the piece's where it has none."""
        tongue, play = part.tongue_thickness_mm, part.end_play_mm
        return PanelNeeds.model_construct(
            sight_width_mm=part.sight_width_mm,
            sight_height_mm=part.sight_height_mm,
            tongue_thickness_mm=self.defaults.tongue_thickness_mm if tongue is None else tongue,
            end_play_mm=self.defaults.end_play_mm if play is None else play,
            panel_width_mm=part.panel_width_mm,
        )

    def bench(self, part: PartFrame) -> Bench:
        """What a part is sized from."""
        return self._bench(self.wood(part), self.season(part))

    def benches(self, part: PartFrame) -> tuple[Bench, ...]:
        """What a part is sized from; of a drawer that of its sides, of its bottom and of its case."""
        mine = self.bench(part)
        if not isinstance(part, DrawerPart):
            return (mine,)
        floor = part.bottom_species, part.bottom_ring_angle_deg, part.bottom_moisture_now_pct
        case = part.case_species, part.case_ring_angle_deg, part.case_moisture_now_pct
        return mine, self._beside(mine, part, *floor), self._beside(mine, part, *case)

    def _beside(
        self,
        mine: Bench,
        part: DrawerPart,
        chosen: str | OwnSpecies | None,
        ring_angle: float | None,
        moisture_now: float | None,
    ) -> Bench:
        """The bench of other stock of a part; what is ``None`` is as on the part's own."""
        species = mine.wood.species if chosen is None else self.species(chosen)
        angle = mine.wood.ring_angle if ring_angle is None else ring_angle
        now = mine.season.now if moisture_now is None else moisture_now
        return self._bench(self._cut(species, angle), self._season(now, part.thickness_mm))

    def _bench(self, stock: Wood, season: Season) -> Bench:
        clearances, cutter = self._tools
        return Bench(stock, season, clearances, cutter, self.defaults.width_step_mm, self.say, **self._sureness)

    @cached_property
    def _tools(self) -> tuple[Clearances, Cutter]:
        return self.defaults.clearances(), self.defaults.cutter()

    @cached_property
    def _sureness(self) -> Sureness:
        return self.defaults.sureness()

    @property
    def say(self) -> Say:
        """Writes a length [mm] in the piece's unit, finely."""
        return partial(lengths.show, unit=self.unit, step=lengths.STEPS[self.unit][0])


def load(text: str | bytes) -> Piece:
    """A piece from its file.

    Parameters
    ----------
    text : str or bytes
        JSON, UTF-8, at most `MOST_BYTES`.

    Raises
    ------
    PieceFileError
        Empty, too large, no JSON, another format or version, or a value out of range: says which and where.
    """
    if _size(text) > MOST_BYTES:
        raise PieceFileError(f"The file is larger than {MOST_BYTES // 1_000_000} MB; no piece file is.")
    if not text.strip():
        raise PieceFileError("The file is empty.")
    try:
        raw = json.loads(text)
    except (ValueError, RecursionError):
        raise PieceFileError("The file is not JSON, so it is no piece file.") from None
    if not isinstance(raw, dict) or raw.get("format") != FORMAT:
        raise PieceFileError(f"The file is not a piece file: its “format” is not “{FORMAT}”.")
    version = raw.get("version")
    if type(version) is not int or version != VERSION:
        raise PieceFileError(f"The file has version {json.dumps(version)[:40]}; this program reads version {VERSION}.")
    try:
        return Piece.model_validate(raw)
    except ValidationError as error:
        raise PieceFileError(_first(error)) from None


def dump(piece: Piece) -> str:
    """The text of a piece's file, JSON with two-space indents, which `load` reads.

    Raises
    ------
    PieceFileError
        It is larger than `MOST_BYTES`; a file that leaves out what is usual may be smaller than what it is read to.
    """
    text = piece.model_dump_json(indent=2) + "\n"
    if _size(text) > MOST_BYTES:
        raise PieceFileError(f"The piece takes more than {MOST_BYTES // 1_000_000} MB with all that its parts say.")
    return text


def _size(text: str | bytes) -> int:
    return len(text if isinstance(text, bytes) else text.encode())


def _twice(names: Sequence[str]) -> str:
    return ", ".join(sorted(name for name, count in Counter(names).items() if count > 1))


def _first(error: ValidationError) -> str:
    first = error.errors(include_url=False)[0]
    where = " → ".join(str(step + 1) if isinstance(step, int) else str(step) for step in first["loc"])
    more = f" ({error.error_count() - 1} more like it)" if error.error_count() > 1 else ""
    return f"{where or 'The file'}: {first['msg'].removeprefix('Value error, ')}{more}"
