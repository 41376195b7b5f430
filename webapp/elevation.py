"""A frame seen from the front, with its panels: where everything stands, in real size."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from movement.lengths import INCH, Unit
from movement.parts.panel import PanelResult
from movement.piece import Frame
from webapp.lines import FrameLines, Line

MEMBERS: dict[Unit, float] = {"mm": 60.0, "in": 2.375 * INCH}
"""Width of stiles, rails and muntins where none is told, by the piece's unit, for the drawing only [mm]; no source."""
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff\u2028\u2029]+")


def plain(text: str) -> str:
    """Text in one line, without the characters that XML and DXF cannot hold."""
    return " ".join(_CONTROL.sub(" ", text).split())


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle [mm]: its left top corner and its size, from the frame's left top corner, y downwards."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Its lower edge."""
        return self.y + self.height

    def grown(self, sideways: float, upright: float) -> "Box":
        """The box, wider at both sides and higher at both ends."""
        return Box(self.x - sideways, self.y - upright, self.width + 2 * sideways, self.height + 2 * upright)


@dataclass(frozen=True, slots=True)
class Bay:
    """A panel in its place: its sight, its own edges, and the bottoms of its grooves.

    ``panel`` and ``groove`` are None where it could not be sized. Where the sight height is not told the bay is drawn
    as if it were as high as its row, or as wide: ``told`` is False.
    """

    line: Line
    sight: Box
    panel: Box | None
    groove: Box | None
    told: bool


@dataclass(frozen=True, slots=True)
class Elevation:
    """A frame with its members and its panels, in real size [mm]. ``told`` where the members' width is."""

    name: str
    outline: Box
    members: Sequence[Box]
    bays: Sequence[Bay]
    member: float
    told: bool


def elevation(drawn: FrameLines, unit: Unit) -> Elevation:
    """The elevation of a frame.

    Parameters
    ----------
    drawn : FrameLines
        A frame with at least one panel; each is drawn once, whatever its count. Panels narrower than the widest of a
        column stand in its middle, panels lower than the highest of a row on its top.
    unit : {"mm", "in"}
        The piece's, for a round width of its members where none is told.
    """
    frame = drawn.frame
    member = MEMBERS[unit] if frame.member_width_mm is None else frame.member_width_mm
    heights = _heights(frame)
    widths = [part.sight_width_mm for part in frame.panels]
    is_column = frame.layout == "column"
    inner = (max(widths), _total(heights, member)) if is_column else (_total(widths, member), max(heights))
    bays: list[Bay] = []
    members = [
        Box(0, 0, member, inner[1] + 2 * member),
        Box(member + inner[0], 0, member, inner[1] + 2 * member),
        Box(member, 0, inner[0], member),
        Box(member, member + inner[1], inner[0], member),
    ]
    along = member
    for part, line, width, height in zip(frame.panels, drawn.lines, widths, heights, strict=True):
        x, y = (member + (inner[0] - width) / 2, along) if is_column else (along, member)
        sight = Box(x, y, width, height)
        bays.append(_bay(line, sight, drawn.groove, part.sight_height_mm is not None))
        along += (height if is_column else width) + member
    for bay in bays[:-1]:
        crossing = (
            Box(member, bay.sight.bottom, inner[0], member)
            if is_column
            else Box(bay.sight.right, member, member, inner[1])
        )
        members.append(crossing)
    outline = Box(0, 0, inner[0] + 2 * member, inner[1] + 2 * member)
    return Elevation(plain(drawn.name), outline, members, bays, member, frame.member_width_mm is not None)


def _heights(frame: Frame) -> list[float]:
    """What every panel's sight is drawn high: as told, else as the highest of its row, else as it is wide."""
    told = [part.sight_height_mm for part in frame.panels if part.sight_height_mm is not None]
    row = max(told) if told and frame.layout == "row" else None
    return [
        (row or part.sight_width_mm) if part.sight_height_mm is None else part.sight_height_mm for part in frame.panels
    ]


def _total(sizes: Sequence[float], member: float) -> float:
    return sum(sizes) + member * (len(sizes) - 1)


def _bay(line: Line, sight: Box, groove: float | None, told: bool) -> Bay:
    if line.row is None or groove is None:
        return Bay(line, sight, None, None, told)
    result: PanelResult = line.row.result
    width, length = result.panel_width_mm, result.panel_length_mm
    beyond = 0.0 if length is None else (length - sight.height) / 2
    fixed = result.fixed_engagement_mm
    left = sight.x - ((width - sight.width) / 2 if fixed is None else fixed)
    panel = Box(left, sight.y - beyond, width, sight.height + 2 * beyond)
    return Bay(line, sight, panel, sight.grown(groove, groove if told else 0.0), told)
