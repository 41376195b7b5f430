"""The lengths of a part that stands in no frame: what it is cut to, what is left open, and how far each may go."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import inf
from typing import Any

from movement.fits import slats
from movement.fits.fronts import moving_edges
from movement.parts.boards import BoardsResult
from movement.parts.breadboard import BreadboardResult
from movement.parts.door import DoorResult
from movement.parts.drawer import DrawerResult
from movement.parts.front import FrontResult
from movement.parts.joint import JointResult
from movement.parts.making import PartResult
from movement.parts.slats import SlatNeeds, SlatsResult
from movement.parts.slot import SlotResult
from movement.parts.top import TopResult
from webapp.rounding import Measure
from webapp.setout import SetLength
from webapp.words import Words

_SAME = 1e-9
"""Lengths that differ by less are of one state [mm]."""


@dataclass(frozen=True, slots=True)
class Measures:
    """The measures of a part; what a kind has not is ``None``.

    Attributes
    ----------
    width, length : Measure
        What it is cut to: across the grain, along it.
    opening : float
        What it goes into [mm].
    now : Measure
        What is left open today.
    dry, wet : float
        How wide that is open when driest and when wettest [mm].
    cuts : tuple of float
        What else is cut to a length of its own [mm]: rails, mortises, slots.
    """

    width: Measure | None = None
    length: Measure | None = None
    opening: float | None = None
    now: Measure | None = None
    dry: float | None = None
    wet: float | None = None
    cuts: tuple[float, ...] = ()

    def across(self, words: Words) -> str:
        """What it is cut to across the grain, in words; empty where it has no such size."""
        return "" if self.width is None else self.width.said(words)

    def today(self, words: Words) -> str:
        """What is left open today, in words; empty where nothing is.

        Where today is the narrowest or the widest of the year, it is rounded as that is.
        """
        if self.now is None:
            return ""
        ends = [one for one in (self.dry, self.wet) if one is not None]
        is_least, is_most = (ends and abs(end(ends) - self.now.length) < _SAME for end in (min, max))
        return self.now.said(words, "nearest" if is_least == is_most else "down" if is_least else "up")

    @property
    def sizes(self) -> tuple[float, ...]:
        """What it is cut to [mm]."""
        return tuple(one.length for one in (self.width, self.length) if one is not None)


def of(made: PartResult) -> Measures:
    """The measures of a sized part."""
    return _KINDS[type(made)](made)


def _boards(made: BoardsResult) -> Measures:
    tongue = made.board_width_mm - made.board_face_mm
    each = face(made)
    gap = each.beside(made.gap_now_mm)
    return Measures(
        width=SetLength(made.board_width_mm, each.low + tongue, each.high + tongue, made=made, name="width"),
        opening=made.opening_mm,
        now=SetLength(gap.length, gap.low, gap.high, made=made, name="gap"),
        dry=made.gap_dry_mm,
        wet=made.gap_wet_mm,
        cuts=(made.tongue_mm,),
    )


def face(made: BoardsResult) -> Measure:
    """The face of each board of a run."""
    return _ranged(made, made.board_face_mm, made.board_face_min_mm, made.board_face_max_mm)


def bottom(made: DrawerResult) -> Measure | None:
    """The width of a drawer's solid bottom, front to back; None where it has none."""
    if made.bottom_width_mm is None:
        return None
    return _ranged(made, made.bottom_width_mm, made.bottom_width_min_mm, made.bottom_width_max_mm)


def _drawer(made: DrawerResult) -> Measures:
    height = _ranged(made, made.side_height_mm, None, made.side_height_max_mm)
    length = made.side_length_mm
    return Measures(
        width=height,
        length=None if length is None else _ranged(made, length, None, made.side_length_max_mm),
        opening=made.opening_height_mm,
        now=height.beside(made.clearance_now_mm),
        dry=made.clearance_dry_mm,
        wet=made.clearance_wet_mm,
    )


def _front(made: FrontResult) -> Measures:
    size = _ranged(made, made.cut_mm if made.made_mm is None else made.made_mm, made.cut_min_mm, made.cut_max_mm)
    return Measures(
        width=size,
        opening=made.opening_mm,
        now=size.beside(made.reveal_now_mm, moving_edges(made.fixed_edge)),
        dry=made.reveal_dry_mm,
        wet=made.reveal_wet_mm,
    )


def _door(made: DoorResult) -> Measures:
    cut = made.cut_width_mm if made.made_width_mm is None else made.made_width_mm
    width = _ranged(made, cut, made.cut_width_min_mm, made.cut_width_max_mm)
    now = made.closing_reveal_now_mm
    return Measures(
        width=width,
        length=None if made.cut_height_mm is None else Measure(made.cut_height_mm, high=made.cut_height_mm),
        opening=made.opening_mm,
        now=Measure(now, now - made.leaves * (width.high - cut), now + made.leaves * (cut - width.low)),
        dry=made.closing_reveal_dry_mm,
        wet=made.closing_reveal_wet_mm,
        cuts=() if made.rail_mm is None else (made.rail_mm,),
    )


def _joint(made: JointResult) -> Measures:
    return Measures(Measure(made.tenon_width_mm), cuts=tuple(one.mortise_length_mm for one in made.mortises))


def _top(made: TopResult) -> Measures:
    return Measures(Measure(made.top_width_mm), cuts=tuple(one.slot_mm for one in made.slots))


def _slot(made: SlotResult) -> Measures:
    return Measures(cuts=(made.slot_mm,))


def _breadboard(made: BreadboardResult) -> Measures:
    return Measures(length=Measure(made.end_length_mm), cuts=tuple(one.slot_mm for one in made.slots))


def _slats(made: SlatsResult) -> Measures:
    return Measures(Measure(made.slat_width_mm), now=clear(made), dry=made.space_dry_mm, wet=made.space_wet_mm)


def clear(made: SlatsResult) -> Measure:
    """The clear space of a row of slats today, with what its limit allows where it is kept."""
    now, bound = made.space_now_mm, made.space_to_leave_mm
    if bound is None or not made.within_limit:
        return Measure(now)
    return Measure(now, high=bound) if made.limit_kind == "most" else Measure(now, low=bound)


def pitch(made: SlatsResult) -> Measure:
    """From the centre of a slat to that of the next, with what the limit on their clear space allows."""
    space, width = clear(made), made.slat_width_mm
    return Measure(made.pitch_mm, space.low + width, space.high + width)


def marks(needs: SlatNeeds, made: SlatsResult, words: Words) -> tuple[str, ...]:
    """How far each slat's near edge stands from one end of its row, in words; empty where no row is told.

    Two marks are off by half a step each: they are finer where the limit leaves less than a step.
    """
    if needs.opening_mm is None or needs.slats is None:
        return ()
    left = made.margin_mm
    say = words.fine if left is not None and 0 <= left < words.step else words.say
    return tuple(say(float(one)) for one in slats.marks(needs.opening_mm, needs.slat_width_mm, needs.slats))


def _ranged(made: PartResult, length: float, low: float | None, high: float | None) -> Measure:
    """A length that fits within its range; one that does not fit has none."""
    if not made.fits:
        return Measure(length)
    return Measure(length, -inf if low is None else low, inf if high is None else high)


_KINDS: Mapping[type[PartResult], Callable[[Any], Measures]] = {
    BoardsResult: _boards,
    DrawerResult: _drawer,
    FrontResult: _front,
    DoorResult: _door,
    JointResult: _joint,
    TopResult: _top,
    SlotResult: _slot,
    BreadboardResult: _breadboard,
    SlatsResult: _slats,
}
