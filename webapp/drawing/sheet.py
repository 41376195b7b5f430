"""What every drawing is made of: shapes and labels on a sheet, lengths to scale, a bar that tells the scale."""

from dataclasses import dataclass, field, replace
from typing import Literal, NamedTuple

from movement.lengths import INCH, Unit
from movement.parts.making import PartResult
from webapp.words import Words

WIDTH = 360.0
"""Width of a drawing's view box; all places are in its units."""
LINE = 22.0
"""Height of a line of text where the page is narrowest."""
CLOSEST = 24.0
"""Largest scale that anything is drawn at [view-box units per mm]."""
FOOT = 34.0
"""Height of the scale bar's strip."""
_MOST_BAR = 120.0
_LETTER, _LETTERS_UP, _LETTERS_DOWN = 9.4, 13.0, 4.0
"""Width of a letter, and how far text stands above and below its baseline, where the page is narrowest."""
_BARS: dict[Unit, tuple[float, ...]] = {
    "mm": (500.0, 200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0),
    "in": (20 * INCH, 10 * INCH, 4 * INCH, 2 * INCH, INCH, INCH / 2, INCH / 4, INCH / 8, INCH / 16),
}

Look = Literal["part", "part-fill", "void", "ghost", "dim", "callout", "limit"]
Fill = Literal["", "end", "other", "grain", "upright", "cross"]
"""Hatching: two parts that are cut across, long grain that runs across or up, what is glued."""
Anchor = Literal["start", "middle", "end"]
_BEFORE: dict[Anchor, float] = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""The share of a label that stands before its anchor."""


@dataclass(frozen=True, slots=True)
class Shape:
    """A path, with its look and hatching."""

    path: str
    look: Look
    fill: Fill = ""


@dataclass(frozen=True, slots=True)
class Label:
    """A line of text; ``strong`` opens it and stands out."""

    x: float
    y: float
    text: str
    strong: str = ""
    anchor: Anchor = "start"

    @property
    def room(self) -> float:
        """A generous estimate of its width where the page is narrowest [view-box units]."""
        return _LETTER * len(f"{self.strong} {self.text}".strip())

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Its left, top, right and bottom."""
        left = self.x - _BEFORE[self.anchor] * self.room
        return left, self.y - _LETTERS_UP, left + self.room, self.y + _LETTERS_DOWN


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing: its name, what it shows in words, what to know of it, its shapes and labels."""

    title: str
    words: str
    caption: str
    height: float
    shapes: tuple[Shape, ...]
    labels: tuple[Label, ...]
    width: float = WIDTH


class State(NamedTuple):
    """A time that a drawing shows, with the wood's moisture content then [%]."""

    name: str
    moisture: float


def states(made: PartResult) -> tuple[State, State, State]:
    """Today, driest, wettest."""
    return (
        State("Today", made.moisture_now_pct),
        State("Driest", made.moisture_dry_pct),
        State("Wettest", made.moisture_wet_pct),
    )


@dataclass(slots=True)
class Pen:
    """Collects the shapes and labels of one drawing."""

    words: Words
    shapes: list[Shape] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)

    def draw(self, path: str, look: Look, fill: Fill = "") -> None:
        """Any path."""
        self.shapes.append(Shape(path, look, fill))

    def box(self, left: float, top: float, right: float, bottom: float, look: Look, fill: Fill = "") -> None:
        """A rectangle."""
        self.draw(f"M{at(left)} {at(top)}H{at(right)}V{at(bottom)}H{at(left)}z", look, fill)

    def dimension(self, left: float, right: float, y: float) -> None:
        """A dimension line across."""
        self.draw(f"M{at(left)} {at(y)}H{at(right)}M{at(left)} {at(y - 5)}v10M{at(right)} {at(y - 5)}v10", "dim")

    def text(self, x: float, y: float, text: str, anchor: Anchor = "start", strong: str = "") -> None:
        """A label, on its baseline; moved where it would pass the sheet's edge."""
        label = Label(x, y, text, strong, anchor)
        before = _BEFORE[anchor] * label.room
        self.labels.append(replace(label, x=max(min(x, WIDTH - label.room + before), before)))

    def heading(self, y: float, state: State, remark: str = "") -> None:
        """The line above a state."""
        tail = f": {remark}" if remark else ""
        self.text(0.0, y, f"{state.moisture:.1f} %{tail}", strong=state.name)

    def column(self, left: float, state: State) -> None:
        """The two lines above a state that stands beside others."""
        self.text(left, 15.0, "", strong=state.name)
        self.text(left, LINE + 15, f"{state.moisture:.1f} %")

    def bar(self, y: float, scale: float) -> None:
        """The bar that tells the scale [view-box units per mm]."""
        bars = _BARS[self.words.unit]
        length = next((one for one in bars if one * scale <= _MOST_BAR), bars[-1])
        self.dimension(0.5, 0.5 + length * scale, y)
        self.text(length * scale + 8, y + 5, self.words.say(length).replace(".0 mm", " mm"))

    def done(self, title: str, told: str, caption: str, height: float) -> Drawing:
        """The drawing."""
        return Drawing(title, told, caption, height, tuple(self.shapes), tuple(self.labels))


def at(place: float) -> str:
    """A place as SVG takes it."""
    return f"{place + 0.0:.1f}".removesuffix(".0")
