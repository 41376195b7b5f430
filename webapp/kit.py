"""The order of making a piece: milled with shared settings, assembled frame by frame; and what of it is ticked off."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Literal, get_args

from webapp.lines import FrameLines, Line
from webapp.store import Tick
from webapp.words import Words

Step = Literal["groove", "cut", "assemble"]
STEPS: tuple[Step, ...] = get_args(Step)
DONE: dict[Step, str] = {"groove": "Grooved", "cut": "Cut", "assemble": "Assembled"}
_SAME = 0.005
"""Sizes that differ by less are the same [mm]."""

Ticks = Mapping[tuple[str, str], Tick]
"""Ticks by handle of part or frame, and step."""


@dataclass(frozen=True, slots=True)
class Item:
    """A step of making of a frame or a part: ``line`` is None for a frame's. ``stale`` tells what was made instead."""

    step: Step
    handle: str
    title: str
    drawn: FrameLines
    line: Line | None
    is_done: bool
    stale: str = ""

    @property
    def id(self) -> str:
        """Its id in the page."""
        return f"{self.step}-{self.handle}"

    @property
    def done(self) -> str:
        """What it is when it is done."""
        return DONE[self.step]


@dataclass(frozen=True, slots=True)
class Stock:
    """Parts of one stock, the widest first."""

    name: str
    items: Sequence[Item]


@dataclass(frozen=True, slots=True)
class Setting:
    """A setting of the groove: the frames that are grooved at it and, by stock, the parts that go into them."""

    name: str
    frames: Sequence[Item]
    stocks: Sequence[Stock]


@dataclass(frozen=True, slots=True)
class Assembly:
    """A frame with its parts, in the order of assembly."""

    drawn: FrameLines
    items: Sequence[Item]


@dataclass(frozen=True, slots=True)
class Kit:
    """All that is to be made of a piece, and what of it is ticked off."""

    frames: Sequence[FrameLines]
    ticks: Ticks
    words: Words

    @property
    def settings(self) -> Iterator[Setting]:
        """The milling: by groove, the deepest first; then by stock; then by width, the widest first."""
        grooved = sorted((one for one in self.frames if one.depth), key=lambda one: -(one.groove or 0.0))
        for name, alike in groupby(grooved, key=lambda one: one.setting):
            frames = list(alike)
            grooves = [self.item("groove", drawn) for drawn in frames]
            lines = [(drawn, line) for drawn in frames for line in drawn.lines if line.sizes and line.fits]
            lines.sort(key=lambda pair: (_stock(pair[1]), tuple(-size for size in pair[1].sizes), pair[1].number))
            stocks = [
                Stock(
                    f"{stock}, {self.words.say(thickness)} thick",
                    [self.item("cut", drawn, line) for drawn, line in pairs],
                )
                for (stock, thickness), pairs in groupby(lines, key=lambda pair: _stock(pair[1]))
            ]
            yield Setting(name, grooves, stocks)

    @property
    def assemblies(self) -> Sequence[Assembly]:
        """The assembly, frame by frame; without what could not be sized or does not fit."""
        return [
            Assembly(drawn, [self.item("assemble", drawn, line) for line in drawn.lines if line.fits])
            for drawn in self.frames
            if drawn.lines
        ]

    @property
    def failing(self) -> Sequence[Line]:
        """The parts that are not to be made as they are: they could not be sized, or they do not fit."""
        return [line for drawn in self.frames for line in drawn.lines if not line.fits]

    def item(self, step: Step, drawn: FrameLines, line: Line | None = None) -> Item:
        """A step of a part, or of a frame where there is no part."""
        handle, title = (line.id, line.title) if line else (drawn.frame.id, drawn.name)
        tick = self.ticks.get((handle, step))
        item = Item(step, handle, title, drawn, line, tick is not None)
        return replace(item, stale=self._stale(tick, made(item))) if tick else item

    @property
    def items(self) -> Sequence[Item]:
        """Every step of every frame and part that can be made."""
        found = [self.item("groove", drawn) for drawn in self.frames if drawn.depth]
        for drawn in self.frames:
            for line in drawn.lines:
                if line.fits:
                    found += [self.item("cut", drawn, line), self.item("assemble", drawn, line)]
        return found

    @property
    def progress(self) -> str:
        """How far the work is, in a line."""
        items = self.items
        done, stale = sum(item.is_done for item in items), sum(bool(item.stale) for item in items)
        more = f"; {stale} made to another size than is wanted now" if stale else ""
        return f"{done} of {len(items)} steps done{more}."

    def _stale(self, tick: Tick, now: str) -> str:
        """What was made, where that is not what is to be made by now."""
        was, wanted = _sizes(tick.made), _sizes(now)
        if len(was) == len(wanted) and all(abs(a - b) < _SAME for a, b in zip(was, wanted, strict=True)):
            return ""
        return " × ".join(self.words.say(size) for size in was) or "another size"


def made(item: Item) -> str:
    """What a step makes, as its tick keeps it: sizes in mm; nothing where it gives no size."""
    if item.step == "groove":
        return f"{item.drawn.groove:.3f}"
    sizes = item.line.sizes if item.line and item.step == "cut" else ()
    return " ".join(f"{size:.3f}" for size in sizes)


def by_step(found: Sequence[Tick]) -> Ticks:
    """Ticks by handle and step."""
    return {(tick.part, tick.step): tick for tick in found}


def _sizes(text: str) -> list[float]:
    return [float(size) for size in text.split()]


def _stock(line: Line) -> tuple[str, float]:
    """What boards are sorted by before they are cut."""
    return line.stock, line.thickness
