"""The parts of a piece as paper shows them: numbered, with their sizes, what to leave open today, and why."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from movement.gap_table import PartRow, Row
from movement.parts.panel import PanelResult
from movement.piece import Frame, PanelPart, Piece
from webapp import joinery, members, rounding, worked
from webapp.cutting import ONE, Alike, Extra, Pieces
from webapp.joinery import Work
from webapp.rounding import bare
from webapp.words import Words
from webapp.worked import Worked

_NO_PLAY = 0.02
"""By how much an edge may grow without a wider groove being asked for [mm]; finer than a shop works, no source."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a kind's table; in the piece's unit where ``is_length``."""

    key: str
    heading: str
    is_length: bool = True


COLUMNS: Mapping[str, Sequence[Column]] = {
    "panel": (
        Column("cut_width", "Width to cut"),
        Column("cut_length", "Length to cut"),
        Column("gap_now", "Gap today"),
        Column("bias", "Bias"),
        Column("engagement_dry", "Engaged, dry"),
        Column("gap_wet", "Gap, wet"),
        Column("hold", "Hold", False),
    )
}
"""The columns of the cut and gap table, by kind of part."""


@dataclass(frozen=True, slots=True)
class Beside:
    """Other stock of a part: what of it, its stock, its moisture today [%]."""

    name: str
    stock: str
    moisture: float

    @property
    def words(self) -> str:
        """All of it."""
        return f"{self.name} {self.stock}, {percent(self.moisture)}"


@dataclass(frozen=True, slots=True)
class Line:
    """A part of any kind as paper shows it.

    Attributes
    ----------
    kind_name : str
        What kind of part it is, in words.
    beside : tuple of Beside
        Stock of it that is not as its own: a drawer's bottom, its case.
    number : int
        Its number in the piece: in the table, on the drawing, on the label.
    sizes : tuple of float
        What it is cut to [mm], width first; empty where it could not be sized.
    cuts : tuple of float
        What else is cut to a length of its own [mm]: mortises, slots.
    size : str
        What it is cut to, in words; empty where it has no size of its own, or does not fit.
    what : str
        What it is that has this size, where it is not the part as a whole.
    cells : mapping
        Its lengths in words, by column: see `rounding.Texts`; a panel's also its ``bias`` and its ``hold``.
    today : sequence of str
        What to leave at which edge today.
    short : str
        The same in a few words, for a label.
    leave : str
        The one opening that is left today, with its name; empty where there is none.
    lean : str
        By how much that is looser or tighter than the neutral fit, and why.
    cautions : sequence of str
        What its kind always warns of; ``mind`` is the same in a sentence.
    thickness : float or None
        Its own [mm]; of a panel the piece's where it has none, of another part None.
    pieces : Pieces
        How many pieces of one part are cut to its size.
    alike : tuple of Alike
        Which of them are cut alike; empty where all are.
    extra : Extra or None
        A piece of it that is cut to a size of its own.
    works : tuple of Work
        What is worked into it once it is cut; nothing where it does not fit.
    problem : str
        Why it could not be sized; empty where it was.
    row : Row
        A panel's row of the gap table; ``other`` is that of a part of another kind.
    """

    kind: str
    id: str
    number: int
    name: str
    count: int
    stock: str
    moisture: float
    thickness: float | None
    problem: str = ""
    kind_name: str = "Panel"
    beside: tuple[Beside, ...] = ()
    fits: bool = False
    sizes: tuple[float, ...] = ()
    cuts: tuple[float, ...] = ()
    size: str = ""
    what: str = ""
    cells: Mapping[str, str] = field(default_factory=dict)
    today: Sequence[str] = ()
    short: str = ""
    leave: str = ""
    bias: str = ""
    lean: str = ""
    advice: Sequence[str] = ()
    cautions: Sequence[str] = ()
    mind: str = ""
    pieces: Pieces = ONE
    alike: tuple[Alike, ...] = ()
    extra: Extra | None = None
    works: tuple[Work, ...] = ()
    row: Row | None = None
    other: PartRow | None = None

    @property
    def moisture_words(self) -> str:
        """The moisture of its stock today, and what else it is of with the moisture of that."""
        return "; ".join((percent(self.moisture), *(one.words for one in self.beside)))

    @property
    def make(self) -> str:
        """How many are made, with what they are where one part is cut as several pieces."""
        return self.pieces.said(self.count)

    @property
    def times(self) -> str:
        """The same beside the part's name; empty where there is but one."""
        if not self.pieces.number:
            return f"({self.make})"
        return "" if self.make == "1" else f"× {self.make}"

    @property
    def labels(self) -> int:
        """How many labels it gets."""
        return self.count * self.pieces.number if self.pieces.each else self.count

    @property
    def title(self) -> str:
        """Number and name."""
        return f"{self.number}. {self.name}"


@dataclass(frozen=True, slots=True)
class FrameLines:
    """A frame with its parts as paper shows them.

    ``groove`` [mm] is None where there is no panel to ask; ``depth`` is the same in words, ``setting`` all that the
    cutter is set to; ``members`` tells its stiles and rails, where their width is told.
    """

    frame: Frame
    groove: float | None
    depth: str
    setting: str
    lines: Sequence[Line]
    members: str = ""

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
        depth = "" if done.groove is None else rounding.exact(done.groove, words)
        setting = _setting(depth, done, piece, words)
        found.append(FrameLines(frame, done.groove, depth, setting, lines, members.said(frame, words)))
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
    told = words.least(max(least - _NO_PLAY, tongue))
    return f"{depth} deep, at least {told} wide for an edge {rounding.exact(tongue, words)} thick today"


def percent(moisture: float) -> str:
    """A moisture content [%] in words."""
    return f"{moisture:.1f}\u00a0%"


def _panel(piece: Piece, part: PanelPart, number: int, row: Row | None, problem: str, words: Words) -> Line:
    line = Line(
        "panel",
        part.id,
        number,
        part.name or f"Panel {number}",
        part.count,
        piece.wood(part).words,
        piece.moisture_now(part),
        piece.defaults.thickness_mm if part.thickness_mm is None else part.thickness_mm,
        problem,
    )
    return line if row is None else _sized(line, row, piece.needs(part).tongue_thickness_mm, words)


def _sized(line: Line, row: Row, tongue: float | None, words: Words) -> Line:
    result, texts = row.result, rounding.panel(row.result, words)
    width, length = texts["cut_width"], result.panel_length_mm
    today, short = _today(result, texts["gap_now"], words)
    return replace(
        line,
        fits=result.fits,
        sizes=(result.panel_width_mm,) if length is None else (result.panel_width_mm, length),
        size=joined(width, "wide") if length is None else joined(bare(width), "×", texts["cut_length"]),
        cells={name: bare(text) for name, text in texts.items()}
        | {"bias": _signed(result, words), "hold": result.hold},
        today=today,
        short=short,
        leave=f"gap {texts['gap_now']}",
        bias=leaning(result.bias_mm, result.bias, words),
        lean=_lean(result, words),
        advice=result.advice,
        works=joinery.panel(tongue, line.thickness, words) if result.fits else (),
        row=row,
    )


def joined(first: str, *more: str) -> str:
    """Words that a line may break between, but not within."""
    return " ".join(word.replace(" ", "\u00a0") for word in (first, *more))


def _today(result: PanelResult, gap: str, words: Words) -> tuple[Sequence[str], str]:
    """What to leave at which edge today, in sentences and in a few words."""
    left = f"Leave a gap of {gap}"
    if result.fixed_engagement_mm is not None:
        fixed = rounding.exact(result.fixed_engagement_mm, words)
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
    size = words.size(result.bias_mm)
    return (
        f"That is {size} {result.bias} per edge than the neutral fit: at {now} the wood is {state} than the middle of "
        f"what it will meet ({mid}) and will mostly {wants}."
    )


def leaning(length: float, bias: str, words: Words) -> str:
    """The bias for a label: which way, and by how much [mm]."""
    return bias if bias == "neutral" else f"{words.size(length)} {bias} than neutral"


def _signed(result: PanelResult, words: Words) -> str:
    """The bias for a table: which way, and by how much with its sign."""
    return result.bias if result.bias == "neutral" else f"{result.bias} {bare(words.signed(result.bias_mm))}"
