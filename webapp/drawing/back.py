"""The back of a drawer from the side: its bottom under the back, the ends of its sides, the room in the case."""

from collections.abc import Callable, Sequence

from movement.parts.drawer import DrawerNeeds, DrawerResult
from webapp.drawing.sheet import CLOSEST, FOOT, WIDTH, Drawing, Pen, at, states
from webapp.words import Words

_ABOVE = 24.0
_TALL = 44.0
_BOARD = 12.0
_PITCH = 138.0
_LEFT = 34.0
_RIGHT = 330.0
_BESIDE = 12.0
"""What is shown of the sides where no back is told [mm]."""

Place = Callable[[float], float]
"""Where a length from the ends of the sides, toward the back of the case [mm], stands on the sheet."""


def back(needs: DrawerNeeds, made: DrawerResult, words: Words) -> Drawing | None:
    """What moves behind a drawer today, driest and wettest; ``None`` where neither bottom nor case is told."""
    thick = None if made.bottom_width_mm is None else needs.back_thickness_mm
    if thick is None and made.case_depth_mm is None:
        return None
    inset = needs.back_inset_mm
    pasts = (made.past_back_now_mm, made.past_back_dry_mm, made.past_back_wet_mm)
    rooms = (made.back_clearance_now_mm, made.back_clearance_dry_mm, made.back_clearance_wet_mm)
    ends = [0.0, *(past - inset for past in pasts if past is not None), *(room for room in rooms if room is not None)]
    first = min(-_BESIDE if thick is None else -inset - thick, *ends)
    scale = min((_RIGHT - _LEFT) / (max(ends) - first), CLOSEST)

    def place(length: float) -> float:
        return _LEFT + (length - first) * scale

    pen, told = Pen(words), []
    free, out = _said(rooms, words), _said(pasts, words)
    for index, (state, past, beyond, room, left) in enumerate(zip(states(made), pasts, out, rooms, free, strict=True)):
        top = index * _PITCH + _ABOVE
        said = []
        pen.heading(top - 9, state)
        pen.draw(f"M0 {at(top)}H{at(place(0.0))}V{at(top + _TALL + _BOARD + 4)}H0", "ghost")
        if thick is not None and past is not None:
            said.append(_bottom(pen, top, place, (-inset - thick, -inset), past, beyond))
        if room is not None:
            said.append(_room(pen, top, place, room, left))
        told.append(f"{state.name}: {', '.join(said)}")
    height = 3 * _PITCH + FOOT
    pen.bar(height - 14, scale)
    caption = "Cut from front to back, lengths to the scale below; the dashed outline is the drawer's side."
    if thick is not None:
        caption += " The hatched block over the bottom is the drawer's back."
    if made.case_depth_mm is not None:
        caption += " The wall at the right is the back of the case."
    return pen.done("Behind the drawer", "; ".join(told), caption, height)


def _said(lengths: Sequence[float | None], words: Words) -> Sequence[str]:
    """What is open today, driest and wettest, in words; empty where it is not told."""
    known = [one for one in lengths if one is not None]
    return words.through(known) if len(known) == len(lengths) else [""] * len(lengths)


def _bottom(pen: Pen, top: float, place: Place, faces: tuple[float, float], past: float, beyond: str) -> str:
    """The drawer's back, from its inner to its outer face, and the bottom under it."""
    foot, outer, end = top + _TALL, place(faces[1]), place(faces[1] + past)
    pen.box(place(faces[0]), top + 6, outer, foot, "part", "end")
    pen.draw(f"M0 {at(foot)}H{at(end)}V{at(foot + _BOARD)}H0", "part", "other")
    pen.dimension(outer, end, foot + _BOARD + 14)
    said = f"past back {beyond}"
    pen.text(0.0, foot + _BOARD + 38, said)
    return said


def _room(pen: Pen, top: float, place: Place, room: float, left: str) -> str:
    """The back of the case, and the room before it."""
    foot, wall = top + _TALL + _BOARD, place(room)
    if room > 0:
        pen.box(place(0.0), top, wall, foot + 4, "void")
    pen.draw(f"M{at(WIDTH)} {at(top - 6)}H{at(wall)}V{at(foot + 8)}H{at(WIDTH)}", "part", "end")
    said = f"room {left}"
    pen.text(WIDTH, foot + 38, said, "end")
    return said
