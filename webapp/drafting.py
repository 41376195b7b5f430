"""A frame's elevation on paper: the scale, and where lines, dimensions and texts stand."""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from movement.lengths import INCH, Unit
from webapp.elevation import Bay, Box, Elevation, plain
from webapp.words import Words

ROOM = (158.0, 140.0)
"""Most that the drawn frame takes of the paper, dimensions left out: width, height [mm]; project choice."""
SCALES: dict[Unit, tuple[int, ...]] = {"mm": (1, 2, 5, 10, 20, 50, 100), "in": (1, 2, 4, 8, 12, 16, 24, 48, 96)}
"""n of the scales 1 : n. Millimetres: the reductions that ISO 5455:1979 recommends, from memory. Inches: even parts of
an inch to the foot; common practice, no source."""
MARGIN = 22.0
"""Room for dimensions on the left and below [mm on paper]."""
EDGE = 3.0
"""Room on the right and on top [mm on paper]."""
_TIER = 7.0
"""From one line of dimensions to the next [mm on paper]."""
_BARS: dict[Unit, tuple[float, ...]] = {
    "mm": (2000.0, 1000.0, 500.0, 200.0, 100.0, 50.0, 20.0, 10.0),
    "in": (96 * INCH, 48 * INCH, 24 * INCH, 12 * INCH, 6 * INCH, 2 * INCH, INCH, INCH / 2),
}
_BAR = 13.0
"""Room for the scale bar and its words below the dimensions [mm on paper]."""
_LONGEST_BAR = 40.0
"""So that it and its words are seen whole in a narrow window [mm on paper]; project choice."""
_BAR_WORDS = 45.0
"""Room for the words below the scale bar [mm on paper]."""
_TEXT, _SMALLEST = 2.8, 1.7
"""Height of usual and of the smallest letters [mm on paper]."""
_NUMBER = 6.0
_LINE = 4.2
"""From one line of text to the next [mm on paper]."""
_ARROW = (5.0, 14.0)
"""Least and greatest length of an arrow along the grain [mm on paper]."""
_INSIDE = 4.5
"""How far inside a panel its height is written where it is written there [mm on paper]."""
_WIDTH_INSIDE = 3.5
"""How far above a panel's lower edge its width is written where it is written there [mm on paper]."""
_ABOVE_WIDTH = _WIDTH_INSIDE + 4.5
"""Room for a width that is written inside a panel, from its lower edge [mm on paper]."""
_LETTER = 0.6
"""Width of a letter over its height; a generous guess that keeps texts within their places."""


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension line [mm on paper]: from one end to the other, with its text in the middle."""

    x1: float
    y1: float
    x2: float
    y2: float
    text: str

    @property
    def is_upright(self) -> bool:
        """Whether it runs up and down."""
        return self.x1 == self.x2

    @property
    def middle(self) -> tuple[float, float]:
        """Where its text stands."""
        return (self.x1 + self.x2) / 2, (self.y1 + self.y2) / 2

    @property
    def size(self) -> float:
        """How high its text is; 0 where there is no room for one."""
        room = abs(self.x2 - self.x1) + abs(self.y2 - self.y1)
        size = min(_TEXT, room / (len(self.text) * _LETTER))
        return size if size >= _SMALLEST else 0.0


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text in a bay [mm on paper], on its baseline, centred."""

    x: float
    y: float
    size: float
    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Caption:
    """The texts of a bay, and (x, top, bottom) of the arrow along its grain where there is room for one."""

    texts: tuple[Text, ...]
    grain: tuple[float, float, float] | None


@dataclass(frozen=True, slots=True)
class Drawing:
    """An elevation on paper at a scale of 1 : n; lengths in mm on paper."""

    elevation: Elevation
    scale: int
    unit: Unit
    bar: float

    @property
    def width(self) -> float:
        """Of the whole drawing."""
        return max(self.length(self.elevation.outline.width) + EDGE, _BAR_WORDS) + MARGIN

    @property
    def height(self) -> float:
        """Of the whole drawing."""
        tiers = 2 if self.elevation.told else 1
        return EDGE + self.length(self.elevation.outline.height) + tiers * _TIER + _BAR

    def length(self, real: float) -> float:
        """A real length on paper."""
        return real / self.scale

    def x(self, real: float) -> float:
        """A place from the left."""
        return MARGIN + self.length(real)

    def y(self, real: float) -> float:
        """A place from the top."""
        return EDGE + self.length(real)

    def box(self, real: Box) -> Box:
        """A rectangle's place and size."""
        return Box(self.x(real.x), self.y(real.y), self.length(real.width), self.length(real.height))

    def say(self, length: float) -> str:
        """A length in the drawing's unit, without a needless zero."""
        return self._short(Words(self.unit).say(length))

    @staticmethod
    def _short(text: str) -> str:
        return re.sub(r"\.0(?=\s)", "", text)

    @property
    def says(self) -> str:
        """What the drawing shows, in a sentence."""
        sizes = "; ".join(f"{plain(bay.line.title)}: {self._sight(bay)}" for bay in self.elevation.bays)
        return f"{self.elevation.name}, seen from the front at 1 : {self.scale}. Sight sizes: {sizes}."

    def _sight(self, bay: Bay) -> str:
        height = f" × {self.say(bay.sight.height)}" if bay.told else ", height not told"
        return f"{self.say(bay.sight.width)}{height}"

    @property
    def captions(self) -> Iterator[Caption]:
        """The number of every panel; where they fit its name, its size to cut and an arrow along its grain.

        Where there is no room for all, the name is left out first: the number tells which panel it is.
        """
        for index, bay in enumerate(self.elevation.bays):
            box = self.box(bay.sight)
            number = min(_NUMBER, box.height * 0.6, box.width * 0.6)
            room = box.width - (2 * _INSIDE + 4.0 if self._upright_inside(index) else 3.0)
            wanted = (
                plain(bay.line.name),
                self._short(bay.line.size),
                f"make {bay.line.count}" if bay.line.count > 1 else "",
                "" if bay.told else "height not told",
            )
            lines = [text for text in wanted if text and len(text) * _TEXT * _LETTER <= room]
            middle, top = box.x + box.width / 2, box.y + min(box.height * 0.38, 22.0)
            floor = box.bottom - (_ABOVE_WIDTH if self._width_inside(index) else 0.0)
            fitting = max(int((min(floor - 1.0, box.bottom - 6.0) - top) / _LINE), 0)
            lines = lines[-fitting:] if fitting else []
            if not lines:
                top = box.y + box.height / 2 + number * 0.36
            texts = (Text(middle, top + 1.0 + _LINE * n, _TEXT, text) for n, text in enumerate(lines, start=1))
            start = top + (1.0 + _LINE * len(lines) if lines else 0.0) + 3.0
            long = min(_ARROW[1], min(floor, box.bottom - 3.0) - start)
            grain = (middle, start, start + long) if long >= _ARROW[0] else None
            yield Caption((Text(middle, top, number, str(bay.line.number), True), *texts), grain)

    def _upright_inside(self, index: int) -> bool:
        """Whether a panel's sight height is written inside it, because it is not that of its row."""
        bay, beside = self.elevation.bays[index], self._beside
        return not self._is_column and bay.told and beside is not None and bay.sight.height != beside.sight.height

    def _width_inside(self, index: int) -> bool:
        """Whether a panel's sight width is written inside it, because it is not that of the lowest of its column."""
        last = self.elevation.bays[-1]
        return self._is_column and self.elevation.bays[index].sight.width != last.sight.width

    @property
    def _beside(self) -> Bay | None:
        """The panel of a row whose sight height is written beside the frame: the first that is told."""
        return next((bay for bay in self.elevation.bays if bay.told), None)

    @property
    def dimensions(self) -> Iterator[Dimension]:
        """Sight sizes; the frame's own where the width of its members is told."""
        bays, last = self.elevation.bays, len(self.elevation.bays) - 1
        below, beside = self.y(self.elevation.outline.bottom) + _TIER, MARGIN - _TIER
        for index, bay in enumerate(bays):
            box = self.box(bay.sight)
            is_inside = self._width_inside(index)
            if is_inside or not self._is_column or index == last:
                level = box.bottom - _WIDTH_INSIDE if is_inside else below
                yield Dimension(box.x, level, box.right, level, self.say(bay.sight.width))
            if bay.told and (self._is_column or bay is self._beside or self._upright_inside(index)):
                level = box.x + _INSIDE if self._upright_inside(index) else beside
                yield Dimension(level, box.y, level, box.bottom, self.say(bay.sight.height))
        if self.elevation.told:
            outline = self.elevation.outline
            box = self.box(outline)
            yield Dimension(box.x, below + _TIER, box.right, below + _TIER, self.say(outline.width))
            if all(bay.told for bay in bays):
                yield Dimension(beside - _TIER, box.y, beside - _TIER, box.bottom, self.say(outline.height))

    @property
    def _is_column(self) -> bool:
        first, *others = self.elevation.bays
        return not others or others[0].sight.y > first.sight.y


def drawing(drawn: Elevation, unit: Unit, room: tuple[float, float] = ROOM) -> Drawing:
    """An elevation at the largest usual scale at which it goes into a room [mm on paper]."""
    scales = SCALES[unit]
    needed = max(drawn.outline.width / room[0], drawn.outline.height / room[1])
    scale = next((n for n in scales if n >= needed), scales[-1] * math.ceil(needed / scales[-1]))
    longest = min(_LONGEST_BAR, room[0] / 2)
    bar = next((bar for bar in _BARS[unit] if bar / scale <= longest), longest * scale)
    return Drawing(drawn, scale, unit, bar)
