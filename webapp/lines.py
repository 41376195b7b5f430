"""The parts of a piece as paper shows them: numbered, with their sizes, what to leave open today, and why."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from movement import lengths
from movement.gap_table import Row
from movement.parts.panel import PanelResult
from movement.piece import Frame, PanelPart, Piece
from webapp import worked
from webapp.words import Words
from webapp.worked import Worked

_EXACT = 0.005
"""A length that is written this exactly is written as it is [mm]; no shop works finer."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a kind's table; in the piece's unit where ``is_length``."""

    key: str
    heading: str
    is_length: bool = True


COLUMNS: Mapping[str, Sequence[Column]] = {
    "panel": (
        Column("cut_width", "Cut width"),
        Column("cut_length", "Cut length"),
        Column("gap_now", "Gap today"),
        Column("bias", "Bias"),
        Column("engagement_dry", "Engaged, driest"),
        Column("gap_wet", "Gap, wettest"),
        Column("hold", "Hold", False),
    )
}
"""The columns of the cut and gap table, by kind of part."""


@dataclass(frozen=True, slots=True)
class Line:
    """A part as paper shows it.

    Attributes
    ----------
    number : int
        Its number in the piece: in the table, on the drawing, on the label.
    sizes : tuple of float
        What it is cut to [mm], width first; empty where it could not be sized.
    size : str
        The same in words.
    cells : mapping
        Text by column of `COLUMNS`.
    today : sequence of str
        What to leave at which edge today.
    short : str
        The same in a few words, for a label.
    lean : str
        By how much that is looser or tighter than the neutral fit, and why.
    problem : str
        Why it could not be sized; empty where it was.
    """

    kind: str
    id: str
    number: int
    name: str
    count: int
    stock: str
    moisture: float
    thickness: float
    problem: str = ""
    fits: bool = False
    sizes: tuple[float, ...] = ()
    size: str = ""
    cells: Mapping[str, str] = field(default_factory=dict)
    today: Sequence[str] = ()
    short: str = ""
    bias: str = ""
    lean: str = ""
    advice: Sequence[str] = ()
    row: Row | None = None

    @property
    def moisture_words(self) -> str:
        """The moisture of its stock today."""
        return percent(self.moisture)

    @property
    def title(self) -> str:
        """Number and name."""
        return f"{self.number}. {self.name}"


@dataclass(frozen=True, slots=True)
class FrameLines:
    """A frame with its parts as paper shows them.

    ``groove`` [mm] is None where there is no panel to ask; ``depth`` is the same in words, ``setting`` all that the
    cutter is set to.
    """

    frame: Frame
    groove: float | None
    depth: str
    setting: str
    lines: Sequence[Line]

    @property
    def name(self) -> str:
        """The frame's name."""
        return self.frame.name or "Frame"

    @property
    def tables(self) -> Iterator[tuple[Sequence[Column], Sequence[Line]]]:
        """For each kind of part its columns and its parts, in order; of those that could be sized."""
        for kind, columns in COLUMNS.items():
            found = [line for line in self.lines if line.kind == kind and not line.problem]
            if found:
                yield columns, found


def frames(piece: Piece) -> list[FrameLines]:
    """Every frame of a piece with its parts; the numbers run on through the piece."""
    words = Words(piece.unit)
    found = []
    number = 0
    for frame, done in worked.frames(piece):
        lines = []
        for part in frame.panels:
            number += 1
            lines.append(_panel(piece, part, number, done.rows.get(part.id), done.problems.get(part.id, ""), words))
        depth = "" if done.groove is None else exact(done.groove, words)
        found.append(FrameLines(frame, done.groove, depth, _setting(depth, done, piece, words), lines))
    return found


def _setting(depth: str, done: Worked, piece: Piece, words: Words) -> str:
    """How deep and how wide a frame's grooves are, in words."""
    if not depth:
        return ""
    wide = []
    for row in done.rows.values():
        tongue, play = piece.needs(row.part).tongue_thickness_mm, row.result.thickness_play_mm
        if tongue is not None and play is not None:
            wide.append((tongue + play, tongue))
    if not wide:
        return f"{depth} deep"
    least, tongue = max(wide)
    return f"{depth} deep, at least {words.least(least)} wide for an edge {exact(tongue, words)} thick today"


def width_to_cut(result: PanelResult, words: Words) -> str:
    """A panel's width as it is cut: finer than the usual step where rounding to that would leave what works."""
    if not result.fits:
        return words.say(result.panel_width_mm)
    return words.within(result.panel_width_mm, result.panel_width_min_mm, result.panel_width_max_mm)


def exact(length: float, words: Words) -> str:
    """A length that a tool is set to: as a decimal where no step of the unit comes near enough."""
    near = abs(float(lengths.round_to(length, words.step)) - length) < _EXACT
    return words.say(length) if near else words.fine(length)


def percent(moisture: float) -> str:
    """A moisture content [%] in words."""
    return f"{moisture:.1f}\u00a0%"


def bare(text: str) -> str:
    """A length for a column that names its unit; inches keep theirs."""
    return text.removesuffix(" mm")


def _panel(piece: Piece, part: PanelPart, number: int, row: Row | None, problem: str, words: Words) -> Line:
    wood, defaults = piece.wood(part), piece.defaults
    moisture = defaults.moisture_now_pct if part.moisture_now_pct is None else part.moisture_now_pct
    line = Line(
        "panel",
        part.id,
        number,
        part.name or f"Panel {number}",
        part.count,
        f"{wood.species.name}, ring angle {wood.ring_angle:g}°",
        moisture,
        defaults.thickness_mm if part.thickness_mm is None else part.thickness_mm,
        problem,
    )
    return line if row is None else _sized(line, row, words)


def _sized(line: Line, row: Row, words: Words) -> Line:
    result = row.result
    width, length = width_to_cut(result, words), result.panel_length_mm
    long = "" if length is None else words.most(length)
    today, short = _today(result, words)
    return Line(
        line.kind,
        line.id,
        line.number,
        line.name,
        line.count,
        line.stock,
        line.moisture,
        line.thickness,
        fits=result.fits,
        sizes=(result.panel_width_mm,) if length is None else (result.panel_width_mm, length),
        size=_joined(bare(width), "×", long) if long else _joined(width, "wide"),
        cells={
            "cut_width": bare(width),
            "cut_length": bare(long) or "–",
            "gap_now": bare(words.say(result.gap_now_mm)),
            "bias": _signed(result, words),
            "engagement_dry": bare(words.most(result.engagement_dry_mm)),
            "gap_wet": bare(words.most(result.gap_wet_mm)),
            "hold": result.hold,
        },
        today=today,
        short=short,
        bias=_bias(result, words),
        lean=_lean(result, words),
        advice=result.advice,
        row=row,
    )


def _joined(first: str, *more: str) -> str:
    """Words that a line may break between, but not within."""
    return " ".join(word.replace(" ", "\u00a0") for word in (first, *more))


def _today(result: PanelResult, words: Words) -> tuple[Sequence[str], str]:
    """What to leave at which edge today, in sentences and in a few words."""
    gap = words.say(result.gap_now_mm)
    left = f"Leave a gap of {gap}"
    if result.fixed_engagement_mm is not None:
        fixed = exact(result.fixed_engagement_mm, words)
        return (
            f"Set the fixed edge {fixed} deep in its groove and fasten it there.",
            f"{left} at the other edge, which moves.",
        ), f"fixed edge {fixed} deep, other edge {gap} gap"
    if result.hold == "loose":
        return (
            f"{left} at each edge: centre it when you glue up.",
            "Nothing holds it: it may slide later.",
        ), f"{gap} gap at each edge, free to slide"
    return (
        f"{left} at each edge: centre it.",
        "Pin it at mid-width, or set it on spacers.",
    ), f"{gap} gap at each edge, centred"


def _lean(result: PanelResult, words: Words) -> str:
    """The bias that the gap of today has in it already, and why."""
    now, mid = percent(result.moisture_now_pct), percent(result.moisture_mid_pct)
    if result.bias == "neutral":
        return f"That is the neutral fit: at {now} the wood is near the middle of what it will meet ({mid})."
    state, wants = ("drier", "swell") if result.bias == "looser" else ("wetter", "shrink")
    size = words.say(abs(result.bias_mm))
    return (
        f"That is {size} {result.bias} per edge than the neutral fit: at {now} the wood is {state} than the middle of "
        f"what it will meet ({mid}) and will mostly {wants}."
    )


def _bias(result: PanelResult, words: Words) -> str:
    """The bias for a label: which way, and by how much."""
    size = words.say(abs(result.bias_mm))
    way = "neutral" if result.bias == "neutral" else f"{result.bias} than neutral"
    return way if result.bias == "neutral" or size.startswith("0 ") or size == '0"' else f"{size} {way}"


def _signed(result: PanelResult, words: Words) -> str:
    """The bias for a table: which way, and by how much with its sign."""
    size = bare(words.signed(result.bias_mm))
    return result.bias if result.bias == "neutral" or size[0] == "0" else f"{result.bias} {size}"
