"""The back of a drawer from the side: its bottom under the back, the ends of its sides, the room in the case."""

from movement.parts.drawer import DrawerNeeds, DrawerResult
from webapp.drawing.sheet import CLOSEST, FOOT, WIDTH, Drawing, Pen, at, states
from webapp.words import Words

_ABOVE = 24.0
_TALL = 44.0
_BOARD = 12.0
_PITCH = 138.0
_LEFT = 34.0
_RIGHT = 330.0


def back(needs: DrawerNeeds, made: DrawerResult, words: Words) -> Drawing | None:
    """What moves behind a drawer today, driest and wettest; ``None`` where neither bottom nor case is told.

    Places are counted from the ends of the sides [mm], toward the back of the case.
    """
    thick, inset = needs.back_thickness_mm, needs.back_inset_mm
    pasts = (made.past_back_now_mm, made.past_back_dry_mm, made.past_back_wet_mm)
    rooms = (made.back_clearance_now_mm, made.back_clearance_dry_mm, made.back_clearance_wet_mm)
    has_bottom = made.bottom_width_mm is not None and thick is not None
    if not has_bottom and made.case_depth_mm is None:
        return None
    first = -(inset + (thick or 12.0)) if has_bottom else -12.0
    ends = [past - inset for past in pasts if past is not None]
    last = max(0.0, *ends, *(room for room in rooms if room is not None))
    first = min(first, *ends) if ends else first
    scale = min((_RIGHT - _LEFT) / (last - first), CLOSEST)

    def place(length: float) -> float:
        return _LEFT + (length - first) * scale

    pen, told = Pen(words), []
    for index, (state, past, room) in enumerate(zip(states(made), pasts, rooms, strict=True)):
        top = index * _PITCH + _ABOVE
        foot = top + _TALL
        said = []
        pen.heading(top - 9, state)
        pen.draw(f"M0 {at(top)}H{at(place(0.0))}V{at(foot + _BOARD + 4)}H0", "ghost")
        if has_bottom and past is not None and thick is not None:
            outer = place(-inset)
            pen.box(place(-inset - thick), top + 6, outer, foot, "part", "end")
            pen.draw(f"M0 {at(foot)}H{at(place(past - inset))}V{at(foot + _BOARD)}H0", "part", "other")
            said.append(f"past back {words.say(past)}")
            line = foot + _BOARD + 14
            pen.dimension(outer, place(past - inset), line)
            pen.text(0.0, line + 24, said[-1])
        if room is not None:
            wall = place(room)
            if room > 0:
                pen.box(place(0.0), top, wall, foot + _BOARD + 4, "void")
            pen.draw(f"M{at(WIDTH)} {at(top - 6)}H{at(wall)}V{at(foot + _BOARD + 8)}H{at(WIDTH)}", "part", "end")
            said.append(f"room {words.say(room)}")
            pen.text(WIDTH, foot + _BOARD + 38, said[-1], "end")
        told.append(f"{state.name}: {', '.join(said)}")
    height = 3 * _PITCH + FOOT
    pen.bar(height - 14, scale)
    caption = "Cut from front to back, lengths to the scale below; the dashed outline is the drawer's side."
    if has_bottom:
        caption += " The hatched block over the bottom is the drawer's back."
    if made.case_depth_mm is not None:
        caption += " The wall at the right is the back of the case."
    return pen.done("Behind the drawer", "; ".join(told), caption, height)
