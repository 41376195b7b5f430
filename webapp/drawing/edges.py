"""A part inset in its opening: the reveal at either end, the middle left out."""

from collections.abc import Sequence
from dataclasses import dataclass

from webapp.drawing.sheet import CLOSEST, FOOT, LINE, WIDTH, Drawing, Pen, State, at
from webapp.words import Words

_STOP = 40.0
_STOP_UP = 24.0
"""What is drawn of the frame, or of the other leaf, at either end: across and up."""
_REVEAL = 75.0
_REVEAL_UP = 55.0
"""The most that a reveal takes, across and up."""
_THICK = 40.0
_ABOVE = 30.0
_PITCH = 112.0
_COLUMN = 120.0
_TALL = 190.0
_TEETH = 6.0
_EXACT = 1e-9


@dataclass(frozen=True, slots=True)
class Ends:
    """The two ends of an opening: what the reveal at each is called, the reveals there by state [mm].

    ``first`` is blank where nothing is to be said of it; ``leaf`` where the second end is the other leaf of a pair.
    ``now`` says what is left at each end today, where that is told elsewhere too.
    """

    first: str
    second: str
    reveals: Sequence[tuple[float, float]]
    leaf: bool = False
    now: tuple[str, str] = ("", "")

    def said(self, words: Words) -> Sequence[tuple[str, str]]:
        """The reveals in words, by state."""
        first, second = ([pair[end] for pair in self.reveals] for end in range(2))
        return list(zip(words.through(first, self.now[0]), words.through(second, self.now[1]), strict=True))


def across(states: Sequence[State], ends: Ends, words: Words, title: str, caption: str) -> Drawing:
    """Side by side: the width of a door, its first end at the left."""
    pen, scale = Pen(words), _scale(ends, _REVEAL, _STOP)
    for index, (state, (first, second), said) in enumerate(zip(states, ends.reveals, ends.said(words), strict=True)):
        top = index * _PITCH + _ABOVE
        foot = top + _THICK
        pen.heading(top - 14, state, "it binds" if min(first, second) < -_EXACT else "")
        for reveal, side in ((first, 1.0), (second, -1.0)):
            end = 0.0 if side > 0 else WIDTH
            stop, edge = end + side * _STOP, end + side * (_STOP + reveal * scale)
            inner = WIDTH / 2 - side * 7
            if reveal > 0:
                pen.box(stop, top, edge, foot, "void")
            is_leaf = ends.leaf and side < 0
            if is_leaf:
                pen.draw(f"M{at(end)} {at(top)}H{at(stop)}V{at(foot)}H{at(end)}", "part", "other")
            else:
                pen.draw(f"M{at(end)} {at(top - 6)}H{at(stop)}V{at(foot + 6)}H{at(end)}", "part", "end")
            pen.draw(f"M{at(inner)} {at(top)}H{at(edge)}V{at(foot)}H{at(inner)}", "part", "other")
            pen.draw(_break(inner, top, foot), "dim")
            if reveal < 0:
                pen.box(stop, top, edge, foot, "limit")
        line = foot + 26
        pen.text(0.0, line, f"{ends.first} {said[0]}")
        pen.text(WIDTH, line, f"{ends.second} {said[1]}", "end")
    height = len(states) * _PITCH + FOOT
    pen.bar(height - 14, scale)
    return pen.done(title, _told(states, ends, words), caption, height)


def upright(states: Sequence[State], ends: Ends, words: Words, title: str, caption: str) -> Drawing:
    """One above the other: the height of a drawer front or side, its first end at the bottom."""
    pen, scale = Pen(words), _scale(ends, _REVEAL_UP, _STOP_UP)
    top = 4 * LINE + 2
    foot = top + _TALL
    for index, (state, (first, second), said) in enumerate(zip(states, ends.reveals, ends.said(words), strict=True)):
        left = index * _COLUMN
        inner_left, right = left + 10, left + 74
        pen.column(left, state)
        pen.text(left, 2 * LINE + 15, ends.second)
        pen.text(left, 3 * LINE + 13, said[1])
        if ends.first:
            pen.text(left, foot + 18, ends.first)
            pen.text(left, foot + LINE + 16, said[0])
        for reveal, side in ((second, 1.0), (first, -1.0)):
            end = top if side > 0 else foot
            stop, edge = end + side * _STOP_UP, end + side * (_STOP_UP + reveal * scale)
            inner = (top + foot) / 2 - side * 6
            if reveal > 0:
                pen.box(inner_left, stop, right, edge, "void")
            pen.draw(f"M{at(left)} {at(end)}V{at(stop)}H{at(right + 10)}V{at(end)}", "part", "end")
            pen.draw(f"M{at(inner_left)} {at(inner)}V{at(edge)}H{at(right)}V{at(inner)}", "part", "other")
            pen.draw(_ripple(inner, inner_left, right), "dim")
            if reveal < 0:
                pen.box(inner_left, stop, right, edge, "limit")
    height = foot + (2 * LINE + 6 if ends.first else 6) + FOOT
    pen.bar(height - 14, scale)
    return pen.done(title, _told(states, ends, words), caption, height)


def _scale(ends: Ends, most: float, stop: float) -> float:
    """The scale at which every reveal takes at most its room, and a part that binds stays within the drawing."""
    reveals = [one for pair in ends.reveals for one in pair]
    room = [most / one for one in reveals if one > 0] + [(stop - 4) / -one for one in reveals if one < 0]
    return min([CLOSEST, *room])


def _told(states: Sequence[State], ends: Ends, words: Words) -> str:
    first = (f"{ends.first} {one}, " if ends.first else "" for one, _ in ends.said(words))
    second = (f"{ends.second} {one}" for _, one in ends.said(words))
    return "; ".join(f"{state.name}: {one}{two}" for state, one, two in zip(states, first, second, strict=True))


def _break(x: float, top: float, foot: float) -> str:
    """A zigzag down: the rest is left out."""
    mid = (top + foot) / 2
    return f"M{at(x)} {at(top - 4)}V{at(mid - 6)}l{at(-_TEETH)} 4l{at(2 * _TEETH)} 4l{at(-_TEETH)} 4V{at(foot + 4)}"


def _ripple(y: float, left: float, right: float) -> str:
    """A zigzag across."""
    mid = (left + right) / 2
    return f"M{at(left - 4)} {at(y)}H{at(mid - 6)}l4 {at(-_TEETH)}l4 {at(2 * _TEETH)}l4 {at(-_TEETH)}H{at(right + 4)}"
