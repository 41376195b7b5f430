"""A run of equal boards across one opening, sized: how many, how wide, with which gap and tongue."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import Literal

from movement.errors import RangeError, require_range
from movement.fits.boards import (
    BOARDS,
    FACE,
    STOCK_WIDTH,
    TONGUE,
    BoardHold,
    Profile,
    face_range,
    fewest_boards,
    least_gap,
    pitch,
    reach,
    reach_needed,
    tongue_for,
    widest_face,
)
from movement.fits.panel import Clearances
from movement.fits.reveals import bias_word
from movement.lengths import round_to
from movement.season import Ratios

_EXACT = 1e-9


@dataclass(frozen=True, slots=True)
class Run:
    """What a run of boards is sized for.

    Attributes
    ----------
    opening : float
        Across the boards [mm], within `OPENING`; it does not move.
    ratios : Ratios
        The boards' width at dry, mid and wet over their width today [-].
    clearances : Clearances
        Least engagement and gap of a joint, making tolerance of a face.
    hold : str
        Where each board is held: ``centred`` (at mid-width) or ``one edge``.
    profile : str
        ``tongue and groove``, ``shiplap`` or ``loose tongue``.
    """

    opening: float
    ratios: Ratios
    clearances: Clearances
    hold: BoardHold = "centred"
    profile: Profile = "tongue and groove"

    def pitch(self, boards: int) -> float:
        """Face plus gap of so many boards [mm]; see `pitch`."""
        return float(pitch(self.opening, boards, self.hold, self.clearances))

    def fewest(self, face: float) -> int:
        """The fewest boards of at most this face; see `fewest_boards`."""
        return int(float(fewest_boards(self.opening, face, self.hold, self.ratios.wet, self.clearances)))

    def widest_face(self, tongue: float) -> float:
        """The widest face that a tongue allows [mm]; see `widest_face`."""
        return float(widest_face(reach(tongue, self.profile), self.ratios.dry, self.ratios.wet, self.clearances))

    def face_range(self, boards: int, tongue: float | None) -> tuple[float, float]:
        """The narrowest and the widest face of so many boards [mm]; any tongue that it takes where ``None``."""
        length = inf if tongue is None else reach(tongue, self.profile)
        least, most = face_range(self.pitch(boards), length, self.ratios.dry, self.ratios.wet, self.clearances)
        return float(least), float(most)

    def own_tongue(self, tongue: float) -> float:
        """What a tongue or lap adds to the board that it is cut from [mm]; nothing for a loose tongue."""
        return 0.0 if self.profile == "loose tongue" else tongue


@dataclass(frozen=True, slots=True)
class BoardsFit:
    """A run of equal boards, sized. Lengths in mm; gap and engagement are those of every joint."""

    run: Run
    boards: int
    face: float
    tongue: float
    stock: tuple[float, ...] = ()

    @property
    def narrowest(self) -> float:
        """The narrowest face of so many boards [mm]; above `widest` where none works."""
        return self.run.face_range(self.boards, self.tongue)[0]

    @property
    def widest(self) -> float:
        """The widest face of so many boards [mm]."""
        return self.run.face_range(self.boards, self.tongue)[1]

    @property
    def reach(self) -> float:
        """How far the tongue reaches out of its board [mm]."""
        return float(reach(self.tongue, self.run.profile))

    @property
    def gap(self) -> float:
        """Gap of a joint today [mm]."""
        return self.run.pitch(self.boards) - self.face

    @property
    def fits(self) -> bool:
        """Whether both rules are kept."""
        return min(self.margin_dry, self.margin_wet) >= -_EXACT

    @property
    def tongue_needed(self) -> float:
        """The shortest tongue for boards of this face [mm], at today's gap or at the least that stays open when wet."""
        ratios, clearances = self.run.ratios, self.run.clearances
        gap = max(self.gap, float(least_gap(self.face, ratios.wet, clearances)))
        return float(tongue_for(reach_needed(self.face, gap, ratios.dry, clearances), self.run.profile))

    @property
    def margin_dry(self) -> float:
        """Engagement to spare in the driest season [mm]; negative where the tongue is too short."""
        return self.reach - float(reach_needed(self.face, self.gap, self.run.ratios.dry, self.run.clearances))

    @property
    def margin_wet(self) -> float:
        """Gap to spare in the wettest season [mm]; negative where the joints close."""
        return self.gap - float(least_gap(self.face, self.run.ratios.wet, self.run.clearances))

    @property
    def board_width(self) -> float:
        """Width to rip a board to, with the tongue or lap that is cut from it [mm]."""
        return self.face + self.run.own_tongue(self.tongue)

    @property
    def stock_width(self) -> float | None:
        """The narrowest stock that gives such a board [mm]; ``None`` where no stock is listed or none is as wide."""
        return min((width for width in self.stock if width >= self.board_width - _EXACT), default=None)

    def gap_at(self, ratio: float) -> float:
        """Gap of a joint when boards are this many times as wide as today [mm]; negative when they press."""
        return self.gap - self.face * (ratio - 1)

    def engagement_at(self, ratio: float) -> float:
        """How far the tongue sits in the next board then [mm]; negative when it has come out."""
        return self.reach - self.gap_at(ratio)

    def end_gap_at(self, ratio: float) -> float:
        """Gap then between the run and the end of the opening [mm]: at both ends alike, or at the end that moves."""
        if self.run.hold == "centred":
            return (self.gap + self.run.clearances.gap - self.face * (ratio - 1)) / 2
        return self.gap_at(ratio)

    @property
    def end_cover(self) -> float:
        """How wide a rebate or groove an end needs to keep the least engagement of the last board when dry [mm]."""
        error = self.run.clearances.tolerance * (0.5 if self.run.hold == "centred" else 1.0)
        return self.end_gap_at(self.run.ratios.dry) + error + self.run.clearances.engagement

    @property
    def growth(self) -> float:
        """What all boards together grow from today to the wettest season [mm], taken up in joints and ends."""
        return self.boards * self.face * (self.run.ratios.wet - 1)

    @property
    def shrinkage(self) -> float:
        """What all boards together shrink from today to the driest season [mm]."""
        return self.boards * self.face * (1 - self.run.ratios.dry)

    @property
    def bias(self) -> float:
        """Gap of a joint today minus its gap at mid [mm]: positive, leave looser; negative, fit tighter."""
        return self.gap - self.gap_at(self.run.ratios.mid)

    @property
    def bias_word(self) -> Literal["looser", "tighter", "neutral"]:
        """The direction of the bias."""
        return bias_word(self.bias)


def fit(
    run: Run,
    *,
    boards: int | None = None,
    face: float | None = None,
    stock: Sequence[float] = (),
    tongue: float | None = None,
    step: float | None = None,
) -> BoardsFit:
    """Size a run of boards, or check one.

    Notes
    -----
    The recommended face is the widest that stays open when wet, so the gap is the smallest. A face that is given alone
    is kept where some number of boards fills the opening with it; else the fewest equal boards that are no wider. Of
    the stock's widths, any number of boards each, the one that takes the least stock in all is ripped to equal boards.

    Parameters
    ----------
    run : Run
        What the run is sized for.
    boards : int or None
        How many, within `BOARDS`.
    face : float or None
        The face of a board, without its tongue [mm], within `FACE`; with boards, a run to check.
    stock : sequence of float
        Widths that the stock comes in [mm], within `STOCK_WIDTH`; they decide where neither boards nor face is given.
    tongue : float or None
        Length of the tongue or lap, or width of the loose tongue [mm], within `TONGUE`; ``None``: as long as needed.
    step : float or None
        A recommended face is rounded down and a recommended tongue up to a multiple of this [mm]; a face is left as
        computed where the step is too coarse for its range.

    Returns
    -------
    BoardsFit
        ``fits`` is False where a rule is broken: a result, not an error.

    Raises
    ------
    RangeError
        A length or a number out of range, or stock too narrow for its tongue.
    ValueError
        Neither boards, face nor stock given.
    """
    if tongue is not None:
        require_range("tongue", tongue, *TONGUE, "mm")
    require_range("width of the stock", stock, *STOCK_WIDTH, "mm")
    if boards is None:
        boards, face = _plan(run, face, stock, tongue, step)
    if face is None:
        least, most = run.face_range(boards, tongue)
        face = _rounded_down(most, least, step)
    require_range("board face", face, *FACE, "mm")
    if tongue is None:
        gap = max(run.pitch(boards) - face, float(least_gap(face, run.ratios.wet, run.clearances)))
        needed = reach_needed(face, gap, run.ratios.dry, run.clearances)
        tongue = float(tongue_for(needed, run.profile))
        tongue = tongue if step is None else float(round_to(tongue, step, "up"))
    return BoardsFit(run, boards, face, tongue, tuple(stock))


def _plan(
    run: Run, face: float | None, stock: Sequence[float], tongue: float | None, step: float | None
) -> tuple[int, float | None]:
    """How many boards, and their face where that is settled."""
    if face is None:
        return _from_stock(run, stock, tongue, step), None
    fewest = run.fewest(face)
    for boards in (fewest, fewest - 1):
        if boards < BOARDS[0] or (tongue is None and boards < fewest):
            continue
        least, most = run.face_range(boards, tongue)
        if least - _EXACT <= face <= most + _EXACT:
            return boards, face
    return fewest, None


def _from_stock(run: Run, stock: Sequence[float], tongue: float | None, step: float | None) -> int:
    if not len(stock):
        raise ValueError("Give a board face, a number of boards, or the widths of the stock.")
    faces = [(width, _face_from(run, width, tongue, step)) for width in stock]
    usable = [(run.fewest(face), width) for width, face in faces if face >= FACE[0]]
    if not usable:
        widest, face = max(faces)
        raise RangeError(
            "width of the stock", widest, widest - face + FACE[0], STOCK_WIDTH[1], "mm", "the least face and its tongue"
        )
    return min(usable, key=lambda plan: (plan[0] * plan[1], plan[0]))[0]


def _face_from(run: Run, width: float, tongue: float | None, step: float | None) -> float:
    """The widest face that stock of a width gives [mm], and its tongue allows where it allows any."""
    if tongue is not None:
        allowed = run.widest_face(tongue)
        return min(width - run.own_tongue(tongue), allowed if allowed >= FACE[0] else inf, FACE[1])
    if run.profile == "loose tongue":
        return min(width, FACE[1])
    clearances, swing = run.clearances, run.ratios.wet - run.ratios.dry
    left = width - clearances.engagement - clearances.gap - 2 * clearances.tolerance - (step or 0.0)
    return min(left / (1 + swing), FACE[1])


def _rounded_down(most: float, least: float, step: float | None) -> float:
    if step is None:
        return most
    rounded = float(round_to(most, step, "down"))
    return rounded if rounded >= max(least, FACE[0]) else most
