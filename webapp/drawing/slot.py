"""A slot with its screw, or a hole with its pin, seen from above."""

from movement.parts.slot import Slot, SlotIn, marked
from webapp.drawing.sheet import CLOSEST, FOOT, WIDTH, Drawing, Pen, at
from webapp.words import Words

_LONG = 310.0
_WIDE = 76.0
_TOP = 66.0
_BESIDE = 12.0
"""Least distance of a label from the screw's centre line."""


def slot(made: Slot, screw: float, slot_in: SlotIn, words: Words) -> Drawing:
    """A slot with the screw today, at the driest and at the wettest; the fixed place lies to the left.

    Parameters
    ----------
    screw : float
        Diameter of the screw or pin [mm].
    slot_in : str
        ``frame``: the screw travels and the slot stays. ``top``: the hole travels and the pin stays, so that the pin
        moves in it the other way about.
    """
    what, into = ("pin", "hole") if slot_in == "top" else ("screw", "slot")
    inner, outer = ("wettest", "driest") if slot_in == "top" else ("driest", "wettest")
    marks = marked(made, words.bench)
    pen, scale = Pen(words), min(_LONG / made.slot_mm, _WIDE / screw, CLOSEST)
    radius, right = screw / 2 * scale, (WIDTH + made.slot_mm * scale) / 2
    now = right - made.outer_end_mm * scale
    inward, outward = now - made.inward_mm * scale, now + made.outward_mm * scale
    middle, foot = _TOP + radius, _TOP + 2 * radius
    pen.draw(_stadium(WIDTH - right, right, _TOP, radius), "void")
    for place in (inward, outward):
        pen.draw(_circle(place, middle, radius), "ghost")
        pen.draw(f"M{at(place)} 46V{at(middle)}", "dim")
    pen.draw(_circle(now, middle, radius), "part", "end")
    pen.draw(f"M{at(now)} 20V{at(middle)}", "callout")
    pen.text(min(max(now, 60.0), WIDTH - 60.0), 15.0, f"{what} today", "middle")
    pen.text(min(inward, now - _BESIDE), 40.0, inner, "end")
    pen.text(max(outward, now + _BESIDE), 40.0, outer)
    line = foot + 16
    pen.dimension(inward, now, line)
    pen.dimension(now, outward, line)
    between = min(max(now, 148.0), 208.0)
    pen.text(between - 8, line + 24, f"inward {marks.inward}", "end")
    pen.text(between + 8, line + 24, f"outward {marks.outward}")
    pen.dimension(WIDTH - right, right, line + 40)
    pen.text(WIDTH / 2, line + 64, f"{into} {marks.length}", "middle")
    arrow = line + 92
    pen.draw(f"M28 {at(arrow - 5)}H2M9 {at(arrow - 10)}L2 {at(arrow - 5)}L9 {at(arrow)}", "callout")
    pen.text(34.0, arrow, "toward the fixed place")
    height = arrow + 14 + FOOT
    pen.bar(height - 14, scale)
    told = (
        f"{what} of {words.entered(screw)} in a {into} of {marks.length}: from where it stands today it moves "
        f"{marks.inward} inward by the {inner} and {marks.outward} outward by the {outer}"
    )
    caption = (
        f"Seen from above, to scale: the {what} today (hatched), and where it stands at the driest and the wettest."
    )
    return pen.done(f"The {what} in its {into}", told, caption, height)


def _stadium(left: float, right: float, top: float, radius: float) -> str:
    r, near, far = at(radius), at(left + radius), at(max(right - radius, left + radius))
    arc = f"A{r} {r} 0 0 1"
    return f"M{near} {at(top)}H{far}{arc} {far} {at(top + 2 * radius)}H{near}{arc} {near} {at(top)}z"


def _circle(x: float, y: float, radius: float) -> str:
    r, left, right = at(radius), at(x - radius), at(x + radius)
    return f"M{left} {at(y)}A{r} {r} 0 1 0 {right} {at(y)}A{r} {r} 0 1 0 {left} {at(y)}z"
