"""The order of making a piece: milled with shared settings, assembled stage by stage; and what of it is ticked off."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Literal

from webapp.joinery import JOINTS, Joint, Work
from webapp.lines import FrameLines, Line
from webapp.store import Tick
from webapp.words import Words

Step = Literal["cut", "extra", "assemble", "glue"] | Joint
DONE: Mapping[str, str] = {
    "groove": "Grooved",
    "cut": "Cut",
    "extra": "Cut",
    "assemble": "Assembled",
    "glue": "Glued up",
    "tongue": "Tongued",
    "lap": "Lapped",
    "mortise": "Mortised",
    "slot": "Slotted",
}
"""What a frame or a part is when a step is done."""
FRAMED = "Made to size"
"""What a door with rails is: it is put together, not cut."""
FITTED: Mapping[str, str] = {
    "slats": "Fixed",
    "boards": "Set in",
    "door": "Hung",
    "front": "Fitted",
    "breadboard": "Pinned",
    "slot": "Screwed",
    "top": "Fixed",
}
"""What a part is when it is in its place, by kind, where that is not called assembled."""
BEFORE: tuple[str, ...] = ("joint", "slats")
"""The kinds of parts that are made ready before any frame is glued up."""
STAGES: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Drawer boxes", ("drawer",)),
    ("Backs, linings and bottoms", ("boards",)),
    ("Doors and fronts", ("door", "front")),
    ("Tops, last", ("breadboard", "slot", "top")),
)
"""What follows the frames, by kind of part. Common practice, no source."""
PRACTICE = "Common practice, no source: panels go in before their frame is glued up, and tops and bottoms go in last."
REASON = (
    "Bias: today’s opening beside that of the neutral fit. It is looser where the wood is drier today than the middle "
    "of what it will meet, so that it will mostly swell, and tighter where it is wetter and will mostly shrink."
)
"""What a bias means, for every part of a page at once."""
_JOINT: Mapping[str, int] = {joint: place for place, joint in enumerate(JOINTS)}
_ORDER = {kind: place for place, kind in enumerate((*BEFORE, *(kind for _, kinds in STAGES for kind in kinds)))}
_WORKED: Mapping[Joint, str] = {
    "groove": "Grooves",
    "tongue": "Tongues",
    "lap": "Laps",
    "mortise": "Mortises",
    "slot": "Slots",
}
_SAME = 0.005
"""Sizes that differ by less are the same [mm]."""
_MOST_MADE = 8
"""Lengths that a tick keeps of what was made, in the store's 80 letters."""

Ticks = Mapping[tuple[str, str], Tick]
"""Ticks by handle of part or frame, and step."""


@dataclass(frozen=True, slots=True)
class Item:
    """A step of making of a frame or a part.

    ``drawn`` is None for a part that stands in no frame, ``line`` for a frame's own step. ``stale`` tells what was made
    instead.
    """

    step: Step
    handle: str
    title: str
    drawn: FrameLines | None
    line: Line | None
    is_done: bool
    stale: str = ""

    @property
    def work(self) -> Work | None:
        """What is worked into its part; None of any other step."""
        works = self.line.works if self.line else ()
        return next((work for work in works if work.joint == self.step), None)

    @property
    def id(self) -> str:
        """Its id in the page."""
        return f"{self.step}-{self.handle}"

    @property
    def done(self) -> str:
        """What it is when it is done."""
        kind = self.line.kind if self.line else ""
        if self.step == "cut" and kind == "slot":
            return DONE["slot"]
        if self.step == "cut" and kind == "door" and self.line and self.line.cuts:
            return FRAMED
        return FITTED.get(kind, DONE["assemble"]) if self.step == "assemble" else DONE[self.step]


@dataclass(frozen=True, slots=True)
class Stock:
    """Parts of one stock, the widest first."""

    name: str
    items: Sequence[Item]


@dataclass(frozen=True, slots=True)
class Setting:
    """What is milled together: frames that are grooved at one setting and, by stock, the parts that go into them.

    ``works`` is what is worked into these parts once they are cut, each joint in one go.
    """

    name: str
    frames: Sequence[Item]
    stocks: Sequence[Stock]
    works: Sequence[Item]

    @property
    def worked(self) -> str:
        """Which joints those are."""
        return ", ".join(
            _WORKED[joint] for joint in JOINTS if any(item.step == joint for item in self.works)
        ).capitalize()


@dataclass(frozen=True, slots=True)
class Assembly:
    """What is assembled together, in order: a frame with its panels, or the parts of a stage."""

    name: str
    items: Sequence[Item]


@dataclass(frozen=True, slots=True)
class Kit:
    """All that is to be made of a piece, and what of it is ticked off. ``others`` stand in no frame."""

    frames: Sequence[FrameLines]
    ticks: Ticks
    words: Words
    others: Sequence[Line] = ()

    @property
    def settings(self) -> Iterator[Setting]:
        """The milling: by groove, the deepest first, then what stands in no frame; by stock; the widest first."""
        grooved = sorted((one for one in self.frames if one.depth), key=lambda one: -(one.groove or 0.0))
        for name, alike in groupby(grooved, key=lambda one: one.setting):
            frames = list(alike)
            grooves = [self.item("groove", drawn) for drawn in frames]
            yield self._setting(f"Groove {name}", grooves, [(one, line) for one in frames for line in one.lines])
        if any(line.fits for line in self.others):
            yield self._setting("Other parts", (), [(None, line) for line in self.others])

    def _setting(self, name: str, grooves: Sequence[Item], lines: Sequence[tuple[FrameLines | None, Line]]) -> Setting:
        """The parts that fit, by stock; in each by kind in the order of assembly, then the widest first."""
        made = sorted((pair for pair in lines if pair[1].fits), key=lambda pair: _milled(pair[1]))
        works = [item for drawn, line in made for item in self.works(drawn, line)]
        return Setting(name, grooves, self._stocks(made), sorted(works, key=lambda item: _JOINT[item.step]))

    def _stocks(self, made: Sequence[tuple[FrameLines | None, Line]]) -> list[Stock]:
        return [
            Stock(
                f"{stock}{self._thick(thickness)}{beside}",
                [item for drawn, line in pairs for item in self.cuts(drawn, line)],
            )
            for (stock, thickness, beside), pairs in groupby(made, key=lambda pair: _stock(pair[1]))
        ]

    def _thick(self, thickness: float | None) -> str:
        return "" if thickness is None else f", {self.words.say(thickness)} thick"

    def cuts(self, drawn: FrameLines | None, line: Line) -> Sequence[Item]:
        """What is cut of a part: itself, and what of it has a size of its own."""
        steps: tuple[Step, ...] = ("cut",) if line.extra is None else ("cut", "extra")
        return [self.item(step, drawn, line) for step in steps]

    def works(self, drawn: FrameLines | None, line: Line) -> Sequence[Item]:
        """What is worked into a part that is cut."""
        return [self.item(work.joint, drawn, line) for work in line.works]

    @property
    def assemblies(self) -> Sequence[Assembly]:
        """The assembly, stage by stage; without what could not be sized or does not fit."""
        found = [
            self._stage("Before any frame is glued up", BEFORE),
            *(Assembly(_named(drawn), self._assembled(drawn)) for drawn in self.frames),
            *(self._stage(name, kinds) for name, kinds in STAGES),
        ]
        return [one for one in found if one.items]

    def _assembled(self, drawn: FrameLines) -> list[Item]:
        """A frame's panels, then the frame itself; no frame is glued up before all its panels can be in it."""
        items = [self.item("assemble", drawn, line) for line in drawn.lines if line.fits]
        return [*items, self.item("glue", drawn)] if items and _is_whole(drawn) else items

    def _stage(self, name: str, kinds: Sequence[str]) -> Assembly:
        lines = sorted((line for line in self.others if line.fits and line.kind in kinds), key=_assembled)
        return Assembly(name, [self.item("assemble", None, line) for line in lines])

    @property
    def failing(self) -> Sequence[Line]:
        """The parts that are not to be made as they are: they could not be sized, or they do not fit."""
        panels = [line for drawn in self.frames for line in drawn.lines]
        return [line for line in (*panels, *self.others) if not line.fits]

    def item(self, step: Step, drawn: FrameLines | None, line: Line | None = None) -> Item:
        """A step of a part, or of a frame where there is no part."""
        handle, title = "", ""
        if line is not None:
            handle, title = line.id, line.title
            if step == "extra" and line.extra:
                title = f"{title}, {line.extra.name}"
        elif drawn is not None:
            handle, title = drawn.frame.id, drawn.name
        tick = self.ticks.get((handle, step))
        item = Item(step, handle, title, drawn, line, tick is not None)
        return replace(item, stale=self._stale(tick, item)) if tick else item

    def steps(self, drawn: FrameLines | None, line: Line) -> Sequence[Item]:
        """The steps of a part; none where it is not to be made as it is."""
        if not line.fits:
            return ()
        return (*self.cuts(drawn, line), *self.works(drawn, line), self.item("assemble", drawn, line))

    @property
    def items(self) -> Sequence[Item]:
        """Every step of every frame and part that can be made."""
        found = [self.item("groove", drawn) for drawn in self.frames if drawn.depth]
        for drawn in self.frames:
            for line in drawn.lines:
                found += self.steps(drawn, line)
            if drawn.lines and _is_whole(drawn):
                found.append(self.item("glue", drawn))
        for line in self.others:
            found += self.steps(None, line)
        return found

    @property
    def progress(self) -> str:
        """How far the work is, in a line."""
        items = self.items
        done, stale = sum(item.is_done for item in items), sum(bool(item.stale) for item in items)
        more = f"; {stale} made to another size than is wanted now" if stale else ""
        return f"{done} of {len(items)} steps done{more}."

    def _stale(self, tick: Tick, item: Item) -> str:
        """What was made, where that is not what is to be made by now."""
        was, wanted = _lengths(tick.made), _lengths(made(item))
        if item.step in ("cut", "extra") and item.line and (item.line.extra or item.line.works):
            was = was[: len(wanted)]  # it was ticked together with its extra, and with what is worked into it, once
        if len(was) == len(wanted) and all(abs(a - b) < _SAME for a, b in zip(was, wanted, strict=True)):
            return ""
        if item.line is None:
            return ", ".join(self.words.say(length) for length in was) or "another size"
        own = len(item.line.sizes) if item.step == "cut" else 0
        sizes, cuts = was[:own], was[own:]
        told = [" × ".join(self.words.say(size) for size in sizes), ", ".join(self.words.say(cut) for cut in cuts)]
        return "; ".join(one for one in told if one) or "another size"


def made(item: Item) -> str:
    """What a step makes, as its tick keeps it: sizes, then other cuts, in mm; nothing where it gives no size."""
    if item.step == "groove" and item.line is None and item.drawn is not None:
        return f"{item.drawn.groove:.3f}"
    lengths = _made(item)
    if len(lengths) > _MOST_MADE:  # the rest as their sum, so that none changes unseen
        lengths = (*lengths[: _MOST_MADE - 1], sum(lengths[_MOST_MADE - 1 :]))
    return " ".join(f"{length:.3f}" for length in lengths)


def _made(item: Item) -> tuple[float, ...]:
    """The lengths that a step gives a part [mm]."""
    line, work = item.line, item.work
    if work is not None:
        return work.cuts
    if line is None or item.step not in ("cut", "extra"):
        return ()
    if item.step == "extra":
        return line.extra.cuts if line.extra else ()
    return tuple(line.sizes) if line.works else (*line.sizes, *line.cuts)


def by_step(found: Sequence[Tick]) -> Ticks:
    """Ticks by handle and step."""
    return {(tick.part, tick.step): tick for tick in found}


def _named(drawn: FrameLines) -> str:
    return f"{drawn.name}: groove {drawn.depth}" if drawn.depth else drawn.name


def _is_whole(drawn: FrameLines) -> bool:
    """Whether every panel of a frame can be in it."""
    return all(line.fits for line in drawn.lines)


def _lengths(text: str) -> list[float]:
    return [float(size) for size in text.split()]


def _stock(line: Line) -> tuple[str, float | None, str]:
    """What boards are sorted by before they are cut."""
    return line.stock, line.thickness, "".join(f"; {one.words}" for one in line.beside)


def _milled(line: Line) -> tuple[str, float, str, int, tuple[float, ...], int]:
    stock, thickness, beside = _stock(line)
    return stock, thickness or 0.0, beside, _ORDER.get(line.kind, 0), tuple(-size for size in line.sizes), line.number


def _assembled(line: Line) -> tuple[int, int]:
    return _ORDER.get(line.kind, 0), line.number
