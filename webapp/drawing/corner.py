"""The corner of a top with its breadboard end: the top's edge proud of the end, or shy of it."""

from movement.parts.breadboard import SHOWN, End
from webapp.drawing.sheet import CLOSEST, FOOT, LINE, Drawing, Pen, State, at
from webapp.words import Words

_COLUMN = 120.0
_TOP = 52.0
_STEP = 44.0
"""The most that the top's edge is drawn off the end's."""
_BODY = 90.0


def corner(states: tuple[State, State, State], end: End, which: str, words: Words) -> Drawing:
    """One edge of the top today, driest and wettest, seen from above.

    Parameters
    ----------
    which : str
        The edge: ``front`` or ``back``.
    """
    prouds = (end.proud_now_mm, end.proud_dry_mm, end.proud_wet_mm)
    largest = max(abs(proud) for proud in prouds)
    pen, told = Pen(words), []
    scale = min(_STEP / largest, CLOSEST) if largest else CLOSEST
    edge = _TOP + _BODY
    for index, (state, proud) in enumerate(zip(states, prouds, strict=True)):
        left = index * _COLUMN
        pen.column(left, state)
        meet, right = left + 40, left + 104
        pen.draw(f"M{at(left)} {at(_TOP)}V{at(edge)}H{at(meet)}V{at(_TOP)}", "part", "upright")
        pen.draw(f"M{at(meet)} {at(_TOP)}V{at(edge + proud * scale)}H{at(right)}V{at(_TOP)}", "part", "grain")
        pen.draw(f"M{at(left)} {at(edge)}H{at(right)}", "ghost")
        word, size = said(proud, words)
        pen.text(left, edge + _STEP + 18, word)
        pen.text(left, edge + _STEP + LINE + 16, size)
        told.append(f"{state.name}: {word} {size}".rstrip())
    height = edge + _STEP + 2 * LINE + 6 + FOOT
    pen.bar(height - 14, scale)
    caption = (
        f"The {which} edge from above, to scale: the end of the breadboard end (grain upright) stays, the top's "
        "edge moves. The dashed line is the end's own length."
    )
    return pen.done(f"The top's {which} edge beside the breadboard end", "; ".join(told), caption, height)


def said(proud: float, words: Words) -> tuple[str, str]:
    """How a top's edge stands to the end [mm], in words: a word, and by how much at most; flush by nothing."""
    if abs(proud) < SHOWN:
        return "flush", ""
    return "proud" if proud > 0 else "shy", words.least(abs(proud))
