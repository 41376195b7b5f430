"""What to do with a part that stands in no frame, kind by kind: what to leave open today, and where."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from movement.parts.any import SizedPart
from movement.parts.boards import BoardsResult
from movement.parts.breadboard import BreadboardResult
from movement.parts.door import DoorResult
from movement.parts.drawer import DrawerResult
from movement.parts.front import FrontResult
from movement.parts.joint import JointResult
from movement.parts.making import PartResult, counted
from movement.parts.slats import SlatsResult
from movement.parts.slot import Slot, SlotResult, marked
from movement.parts.top import TopResult
from webapp import measures, setout
from webapp.cautions import FINGERS
from webapp.words import Words

_FINGERS = "Its gaps can trap fingers, and they vary with the season."


@dataclass(frozen=True, slots=True)
class Instructions:
    """What to do with a part.

    Attributes
    ----------
    today : sequence of str
        In sentences: what is made and what is left open today, edge by edge.
    short : str
        The same in a few words, for a label.
    what : str
        What it is that is cut to the part's size.
    leave : str
        The one opening that is left today, with its name; empty where there is none.
    lean : str
        By how much that is looser or tighter than the neutral fit, and why; empty where its kind knows no bias.
    cautions : sequence of str
        What its kind always warns of.
    mind : str
        The same in a sentence, where there is no room for more.
    """

    today: Sequence[str]
    short: str
    what: str = ""
    leave: str = ""
    lean: str = ""
    cautions: Sequence[str] = ()
    mind: str = ""


def of(part: SizedPart, made: PartResult, words: Words) -> Instructions:
    """The instructions for a sized part."""
    return _KINDS[type(made)](part, made, words)


def _boards(part: Any, made: BoardsResult, words: Words) -> Instructions:
    run = setout.of(made, words)
    gap, end, ends = run.gap, run.end, run.where
    tongue = {"shiplap": "lap", "loose tongue": "loose tongue"}.get(made.profile, "tongue")
    boards = f"{counted(made.boards, 'board')}, face {run.face}, {tongue}"
    reach = words.least(made.tongue_mm)
    held = "Hold each board at mid-width." if made.hold == "centred" else "Start tight at the held edge."
    return Instructions(
        (
            f"{boards} {reach}.",
            f"Leave {gap} at each joint and {end} {ends} today.",
            f"{held} Set them out {run.pitch} apart, so that no error adds up.",
        ),
        f"{gap} gap at each joint, {end} {ends}; {boards} {reach}",
        "each board" if made.profile == "loose tongue" else f"each board, with its {tongue}",
        f"joints {gap}",
        words.leaning(made, "each joint"),
    )


def _drawer(part: Any, made: DrawerResult, words: Words) -> Instructions:
    room, what = (
        measures.of(made).today(words),
        "sides, height" if made.side_length_mm is None else "sides, height × length",
    )
    today, short = [f"Leave {room} above the sides today."], [f"{room} above the sides"]
    if made.back_clearance_now_mm is not None:
        behind = words.say(made.back_clearance_now_mm)
        today.append(f"Leave {behind} behind them.")
        short.append(f"{behind} behind")
    bottom = measures.bottom(made)
    if bottom is not None and made.slot_forward_mm is not None and made.slot_backward_mm is not None:
        wide = bottom.said(words)
        forward, backward = words.least(made.slot_forward_mm), words.least(made.slot_backward_mm)
        today.append(f"Cut the bottom {wide} from front to back; it goes in last.")
        today.append(f"Its slot runs {forward} forward and {backward} back from the screw.")
        short.append(f"bottom {wide} front to back, slot {forward} forward, {backward} back")
    return Instructions(today, "; ".join(short), what, f"above {room}", words.leaning(made, "the room above the sides"))


def _front(part: Any, made: FrontResult, words: Words) -> Instructions:
    reveal, what = measures.of(made).today(words), made.direction
    if made.fixed_edge == "centred":
        return Instructions(
            (f"Leave a reveal of {reveal} at each edge today: centre it.",),
            f"{reveal} reveal at each edge, centred",
            what,
            f"reveals {reveal}",
            words.leaning(made, "each reveal"),
            (FINGERS,),
            _FINGERS,
        )
    fixed = words.say(made.fixed_reveal_now_mm)
    moving = "top" if made.fixed_edge == "bottom" else "closing edge"
    return Instructions(
        (f"Leave a reveal of {reveal} at the {moving} today, and of {fixed} at the {made.fixed_edge} all year.",),
        f"{reveal} reveal at the {moving}, {fixed} at the {made.fixed_edge}",
        what,
        f"reveal {reveal}",
        words.leaning(made, "the reveal that moves"),
        (FINGERS,),
        _FINGERS,
    )


def _door(part: Any, made: DoorResult, words: Words) -> Instructions:
    reveal, hinge = measures.of(made).today(words), words.say(made.hinge_reveal_mm)
    rail = [] if made.rail_mm is None else [f"Rails {words.say(made.rail_mm)} between their shoulders."]
    if made.leaves == 1:
        today = f"Leave a reveal of {reveal} at the closing edge today, and of {hinge} at the hinge all year."
        short = f"{reveal} reveal at the closing edge, {hinge} at the hinge"
    else:
        today = f"Two leaves: leave {reveal} between them today, and a reveal of {hinge} at each hinge all year."
        short = f"2 leaves: {reveal} between them, {hinge} at each hinge"
    rails = "" if made.rail_mm is None else f"; rails {words.say(made.rail_mm)} between shoulders"
    one = made.leaves == 1
    cut = f"{'width' if one else 'each leaf, width'}{'' if made.cut_height_mm is None else ' × height'}"
    lean = words.leaning(made, "the closing reveal" if one else "the gap between the leaves")
    leave = f"{'reveal' if one else 'between'} {reveal}"
    return Instructions((*rail, today), f"{short}{rails}", cut, leave, lean, (FINGERS,), _FINGERS)


def _joint(part: Any, made: JointResult, words: Words) -> Instructions:
    several = len(made.mortises) > 1
    today, lengths = [], []
    for number, one in enumerate(made.mortises, start=1):
        long = words.least(one.mortise_length_mm)
        before, after = words.least(one.slack_start_mm), words.least(one.slack_end_mm)
        lengths.append(long)
        what = f"Tenon {number}, from {words.say(one.tenon_start_mm)}: mortise" if several else "Mortise"
        today.append(
            f"{what} {long} long, slack {before} before the tenon and {after} after it{'' if one.glued else '; dry'}."
        )
    glued = words.say(made.glued_mm)
    today.append(f"Glue it over {glued}.")
    what = "mortises" if several else "mortise"
    first, last = made.mortises[0], made.mortises[-1]
    slack = f"slack {words.least(first.slack_start_mm)} at the first edge, {words.least(last.slack_end_mm)} at the last"
    return Instructions(
        today,
        f"{what} {', '.join(lengths)} long; {slack}; glue over {glued}",
        "tenons together" if several else "tenon",
    )


def travel(one: Slot, what: str, words: Words) -> str:
    """A slot in a sentence: where it is, how long, and how far it runs."""
    told = marked(one, words.bench)
    return (
        f"{what} at {words.say(one.distance_mm)} from the fixed place: {told.length} long, "
        f"{told.outward} outward and {told.inward} inward."
    )


def _lengths(slots: Sequence[Slot], what: str, words: Words) -> str:
    """Slots for a label: all of a few, the longest of many."""
    if not slots:
        return ""
    if len(slots) > _FEW:
        return f"{len(slots)} {what}s, the longest {_longest(slots, words)}"
    told = []
    for one in slots:
        marks = marked(one, words.bench)
        place = "" if len(slots) == 1 else f"at {words.say(one.distance_mm)}: "
        told.append(f"{marks.length} long ({place}{marks.outward} outward, {marks.inward} inward)")
    return f"{what if len(slots) == 1 else f'{what}s'} {', '.join(told)}"


def _longest(slots: Sequence[Slot], words: Words) -> str:
    return marked(max(slots, key=lambda one: one.slot_mm), words.bench).length


_FEW = 3


def _top(part: Any, made: TopResult, words: Words) -> Instructions:
    front, back = words.say(made.front.overhang_now_mm), words.say(made.back.overhang_now_mm)
    held = f"Hold it still at its {made.fixed_at}; let it slide everywhere else."
    into = "Hole" if part.slot_in == "top" else "Slot"
    slots = [travel(one, into, words) for one in made.slots]
    overhang = f"overhang {front} in front, {back} at the back"
    short = [f"held at its {made.fixed_at}", _lengths(made.slots, into.lower(), words), overhang]
    return Instructions(
        (held, *slots, f"Today it stands over its frame by {front} in front and {back} at the back."),
        "; ".join(one for one in short if one),
        "width",
        f"longest {_longest(made.slots, words)}" if made.slots else "",
    )


def _slot(part: Any, made: SlotResult, words: Words) -> Instructions:
    what = "pin" if part.slot_in == "top" else "screw"
    told = marked(made, words.bench)
    long, outer = told.length, told.outer_end
    away = words.say(made.distance_mm)
    return Instructions(
        (
            f"Mark the {what} where it stands today, {away} from the fixed place.",
            f"Its slot is {long} long in all and ends {outer} from there, away from the fixed place: {told.outward} "
            f"outward and {told.inward} inward.",
        ),
        f"slot {long} long ({told.outward} outward, {told.inward} inward), outer end {outer} from the {what}’s centre, "
        f"which is {away} from the fixed place",
        leave=f"slot {long}",
    )


def _breadboard(part: Any, made: BreadboardResult, words: Words) -> Instructions:
    when = "today" if part.flush == "today" else "at the middle of its year"
    held = f"Pin it fast at the top’s {part.fixed_at} only."
    holes = [travel(one, "Hole", words) for one in made.slots]
    flush = f"It is flush with the top {when}."
    short = [f"fast at the {part.fixed_at}", _lengths(made.slots, "hole", words), f"flush {when}"]
    return Instructions(
        (held, *holes, flush),
        "; ".join(one for one in short if one),
        "length",
        f"longest {_longest(made.slots, words)}" if made.slots else "",
    )


def _slats(part: Any, made: SlatsResult, words: Words) -> Instructions:
    space, pitch = measures.clear(made).said(words), measures.pitch(made).said(words)
    widest, narrowest = words.extremes(made.space_dry_mm, made.space_wet_mm)
    marks, row, short = measures.marks(part, made, words), [], ""
    if marks:
        count, long = counted(len(marks), "slat"), words.entered(part.opening_mm)
        row = [
            f"{count} in a row of {long} between its ends.",
            f"Mark the near edge of every slat from one end of the row: {', '.join(marks)}.",
        ]
        short = f"{count} in a row of {long}, near edges {marks[0]} to {marks[-1]} from one end: all on the sheet; "
    ten = "" if marks else f" Ten times that is {words.say(10 * made.pitch_mm)}: mark them all from one place."
    return Instructions(
        (
            *row,
            f"Leave {space} clear between them today: {pitch} from centre to centre.{ten}",
            f"Clear space through the year: {narrowest} to {widest}.",
        ),
        f"{short}{space} clear between slats, {pitch} from centre to centre",
        "each slat, width",
        f"clear {space}",
        cautions=made.cautions,
        mind="These spaces can trap fingers, limbs or heads, and they vary with the season.",
    )


_KINDS: Mapping[type[PartResult], Callable[[Any, Any, Words], Instructions]] = {
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
