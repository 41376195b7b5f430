"""How a run of boards is set out: what is written of it fills the opening, and keeps the rules that it was sized by.

Each length alone may be rounded the safe way, and the run still be too long for its opening, for small errors add up
over its boards. So the face is written first; the gap of a joint is what the distance from board to board leaves, and
the room at the ends what is left of the opening, both rounded down, finer where the step would lead below the least.
"""

from dataclasses import dataclass, field
from typing import Literal

from movement import lengths
from movement.parts.boards import BoardsResult
from webapp.rounding import Measure
from webapp.words import Words

_LOST = 0.01
"""What may be lost of a gap by writing it [mm]; finer than a shop works, no source."""


@dataclass(frozen=True, slots=True)
class SetOut:
    """A run of boards in words.

    Attributes
    ----------
    face, width : str
        Of each board, without its tongue, and with it: what it is ripped to.
    gap, end : str
        At each joint and at each end, or at the free one, today; ``where`` says at which.
    pitch : str
        From one board to the next.
    """

    face: str
    width: str
    gap: str
    end: str
    where: str
    pitch: str


@dataclass(frozen=True, slots=True)
class SetLength(Measure):
    """The width to rip each board of a run to, or the gap of each joint today: written as the run is set out."""

    made: BoardsResult = field(kw_only=True)
    name: Literal["width", "gap"] = field(kw_only=True)

    def said(self, words: Words, first: lengths.Direction = "nearest") -> str:
        """In words."""
        run = of(self.made, words)
        return run.width if self.name == "width" else run.gap


def of(made: BoardsResult, words: Words) -> SetOut:
    """How a run is set out; one that does not fit is written as it was computed.

    Notes
    -----
    n faces, n - 1 gaps and the room at the ends are never more than the opening. At the ends as much may be missing as
    the wet rule has to spare: half of a joint's where there are two.
    """
    ends, where = (2, "at each end") if made.hold == "centred" else (1, "at the free end")
    pitch = made.board_face_mm + made.gap_now_mm
    if not made.fits:
        gap, end = words.say(made.gap_now_mm), words.say(made.end_gap_now_mm)
        return SetOut(words.say(made.board_face_mm), words.say(made.board_width_mm), gap, end, where, words.fine(pitch))
    face = Measure(made.board_face_mm, made.board_face_min_mm, made.board_face_max_mm).said(words)
    broad = lengths.read(face, words.unit)
    gap = _down(pitch - broad, pitch - made.board_face_max_mm, words)
    taken = made.boards * broad + (made.boards - 1) * lengths.read(gap, words.unit)
    end = _down((made.opening_mm - taken) / ends, made.end_gap_now_mm - made.margin_wet_mm / ends, words)
    tongue = 0.0 if made.profile == "loose tongue" else lengths.read(words.least(made.tongue_mm), words.unit)
    wide = broad + tongue
    return SetOut(face, Measure(wide, wide, wide).said(words), gap, end, where, words.fine(pitch, "down"))


def _down(length: float, least: float, words: Words) -> str:
    """A length in words, rounded down; finer where the step would lead below the least."""
    for told in (words.most(length), words.fine(length, "down")):
        if lengths.read(told, words.unit) >= max(least, 2 * _LOST) - _LOST:
            return told
    return words.finest(length, "down")
