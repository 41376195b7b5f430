"""What every printed page of a piece shares: the piece with its parts, the paper, the day, the words at its head."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from starlette.exceptions import HTTPException

from movement import piece as pieces
from movement.errors import PieceFileError
from movement.piece import Piece
from webapp import cautions, lines, otherparts, printing, prospects, strays, worked, years
from webapp.documents import Kept, MissingError
from webapp.lines import FrameLines, Line
from webapp.printing import Paper
from webapp.store import Store
from webapp.words import Words, dated

ESTIMATE = "These are estimates: wood varies from board to board, so measure your own stock before you cut."

OTHERS = ".others"
"""What an address asks for to have the parts printed alone that stand in no frame; no frame has this handle."""


@dataclass(frozen=True)
class PaperPage:
    """A piece on paper. ``only`` is what is printed alone, ``notice`` tells why there is no PDF."""

    kept: Kept
    piece: Piece
    paper: Paper = "a4"
    only: str = ""
    day: date = field(default_factory=date.today)
    notice: str = ""

    @property
    def href(self) -> str:
        """The piece's address."""
        return f"/pieces/{self.kept.id}"

    @property
    def words(self) -> Words:
        """Writes lengths in the piece's unit."""
        return Words(self.piece.unit)

    @cached_property
    def frames(self) -> Sequence[FrameLines]:
        """Every frame with its parts."""
        return lines.frames(self.piece)

    @property
    def chosen(self) -> Sequence[FrameLines]:
        """The frames that are printed."""
        return [drawn for drawn in self.frames if self.only in ("", drawn.frame.id)]

    @cached_property
    def others(self) -> Sequence[Line]:
        """Every part that stands in no frame."""
        return list(otherparts.others(self.piece))

    @property
    def chosen_others(self) -> Sequence[Line]:
        """The parts that are printed of those that stand in no frame."""
        return self.others if self.only in ("", OTHERS) else ()

    @property
    def lines(self) -> Sequence[Line]:
        """Every part, in the order of its numbers."""
        return [*(line for drawn in self.frames for line in drawn.lines), *self.others]

    @property
    def choices(self) -> Sequence[tuple[str, str]]:
        """What can be printed alone, with its name: each frame, and the parts that stand in none."""
        frames = [(drawn.frame.id, drawn.name) for drawn in self.frames]
        return [*frames, (OTHERS, "Other parts")] if self.others else frames

    @property
    def papers(self) -> Sequence[tuple[Paper, str]]:
        """The papers to choose from, with their names."""
        return list(printing.PAPER_NAMES.items())

    @property
    def day_words(self) -> str:
        """The day in words that no country misreads."""
        return dated(self.day)

    @property
    def stray(self) -> str:
        """What to know of stock that lies outside the home's year."""
        return strays.words(self.piece)

    @cached_property
    def caveat(self) -> str:
        """What to know of panels that fit as computed and yet may often fail."""
        return prospects.caveat(self.piece, (done for _, done in worked.frames(self.piece)))

    @property
    def climate_words(self) -> str:
        """Where the piece will live, and how its parts follow the air there."""
        piece = self.piece
        named = f"{piece.climate_name}. " if piece.climate_name else ""
        return f"{named}{years.words(piece.climate, piece.unit)}{self._way}{self._following}"

    @property
    def _way(self) -> str:
        piece = self.piece
        if not piece.stays or piece.home_first is None:
            return ""
        stays = "; ".join(f"{stay.name or 'a store'} from {dated(stay.first)}" for stay in piece.stays)
        doubt = years.doubt_on_the_way(piece.climate, (stay.climate for stay in piece.stays))
        return f" On its way there: {stays}; home from {dated(piece.home_first)}. {doubt}".rstrip()

    @property
    def _following(self) -> str:
        if self.piece.defaults.following == "equilibrium":
            return " Sized for the full swing."
        return f" Sized for panels that follow the air late, finish: {self.piece.defaults.finish}."

    @property
    def moisture_words(self) -> str:
        """The stock's moisture today; where parts differ, of which."""
        usual = self.piece.defaults.moisture_now_pct
        own = []
        for line in self.lines:
            found = [("", line.moisture), *((f"{one.name} of ", one.moisture) for one in line.beside)]
            own += [
                f"{of}part {line.number}: {lines.percent(now)}"
                for of, now in found
                if now != usual or line.moisture != usual
            ]
        return f"{lines.percent(usual)}{f'; {_listed(own)}' if own else ''}"

    @property
    def estimate(self) -> str:
        """What the numbers are."""
        return ESTIMATE

    @property
    def caution(self) -> str:
        """The usual cautions of the shop."""
        return cautions.DUST


def _listed(words: Sequence[str]) -> str:
    most = 6
    return ", ".join(words[:most]) + (f" and {len(words) - most} more" if len(words) > most else "")


def chosen_of(piece: Piece, text: str) -> str:
    """What an address asks to have printed alone; empty, for all, where there is no such thing."""
    known = {frame.id for frame in piece.frames} | ({OTHERS} if piece.parts else set())
    return text if text in known else ""


def found(store: Store, id: str) -> Kept:
    """A kept piece.

    Raises
    ------
    MissingError
        No such piece, or it is deleted.
    """
    kept = store.piece(id)
    if kept.deleted:
        raise MissingError(id)
    return kept


def opened(store: Store, id: str) -> tuple[Kept, Piece]:
    """A kept piece, read; raises as `found` does."""
    kept = found(store, id)
    return kept, read(kept.document)


def read(document: str) -> Piece:
    """A piece from its kept text."""
    try:
        return pieces.load(document)
    except PieceFileError as error:
        raise HTTPException(500, f"This piece cannot be opened, but its file is kept. {error}") from error
