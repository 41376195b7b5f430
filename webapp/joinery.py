"""What is worked into a part once it is cut: grooves, tongues, laps, mortises, slots; each is ticked off by itself."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, get_args

from movement.parts.any import SizedPart
from movement.parts.boards import BoardsResult
from movement.parts.breadboard import BreadboardResult
from movement.parts.drawer import DrawerResult
from movement.parts.joint import JointResult
from movement.parts.making import PartResult
from movement.parts.slot import Slot
from movement.parts.top import TopResult
from webapp import instructions, rounding
from webapp.words import Words

Joint = Literal["groove", "tongue", "lap", "mortise", "slot"]
JOINTS: tuple[Joint, ...] = get_args(Joint)
"""In the order of working."""


@dataclass(frozen=True, slots=True)
class Work:
    """Something that is worked into a part.

    Attributes
    ----------
    size, what : str
        The one length that the tool is set to, and all else that is to be known; either may be empty.
    cuts : tuple of float
        Its lengths [mm].
    """

    joint: Joint
    size: str
    what: str
    cuts: tuple[float, ...]


def of(part: SizedPart, made: PartResult, words: Words) -> tuple[Work, ...]:
    """What is worked into a part that stands in no frame; nothing where it does not fit."""
    found = _KINDS.get(type(made))
    return tuple(found(part, made, words)) if found and made.fits else ()


def panel(tongue: float | None, thickness: float | None, words: Words) -> tuple[Work, ...]:
    """A panel's edges [mm], brought down to what sits in its groove; nothing where it is no thicker than that."""
    if tongue is None or thickness is None or thickness <= tongue:
        return ()
    return (Work("tongue", f"edge {rounding.exact(tongue, words)} thick", "", (tongue,)),)


def _boards(part: Any, made: BoardsResult, words: Words) -> Sequence[Work]:
    reach, cuts = words.least(made.tongue_mm), (made.tongue_mm,)
    if made.profile == "shiplap":
        return [Work("lap", reach, "long; none at the run’s two outer edges", cuts)]
    if made.profile == "loose tongue":
        half, several = words.least(made.tongue_mm / 2), f"wide, one for each of {made.boards - 1} joints"
        return [
            Work("groove", half, "deep, in every edge but the run’s two outer ones", cuts),
            Work("tongue", reach, several, cuts),
        ]
    return [
        Work("groove", f"over {reach}", "deep, so that no tongue bottoms; none in the first board", cuts),
        Work("tongue", reach, "long; none on the last board", cuts),
    ]


def _drawer(part: Any, made: DrawerResult, words: Words) -> Sequence[Work]:
    forward, backward = made.slot_forward_mm, made.slot_backward_mm
    if forward is None or backward is None:
        return []
    slot = f"{words.least(forward)} forward and {words.least(backward)} back from the screw"
    return [
        Work("groove", words.entered(part.front_groove_mm), "deep, in its front", (part.front_groove_mm,)),
        Work("slot", "", f"In its bottom: {slot}.", (forward, backward)),
    ]


def _joint(part: Any, made: JointResult, words: Words) -> Sequence[Work]:
    cuts = tuple(one.mortise_length_mm for one in made.mortises)
    return [Work("mortise", ", ".join(words.least(one) for one in cuts), "long", cuts)]


def _slots(made: Sequence[Slot], what: str, words: Words) -> Sequence[Work]:
    told = " ".join(instructions.travel(one, what, words) for one in made)
    return [Work("slot", "", told, tuple(one.slot_mm for one in made))] if made else []


def _top(part: Any, made: TopResult, words: Words) -> Sequence[Work]:
    return _slots(made.slots, "Hole" if part.slot_in == "top" else "Slot", words)


def _breadboard(part: Any, made: BreadboardResult, words: Words) -> Sequence[Work]:
    return _slots(made.slots, "Hole", words)


_KINDS: Mapping[type[PartResult], Callable[[Any, Any, Words], Sequence[Work]]] = {
    BoardsResult: _boards,
    DrawerResult: _drawer,
    JointResult: _joint,
    TopResult: _top,
    BreadboardResult: _breadboard,
}
