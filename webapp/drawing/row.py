"""A row of slats: the clear space between two of them, from centre to centre."""

from movement.parts.slats import SlatsResult
from webapp import measures
from webapp.drawing.sheet import CLOSEST, FOOT, WIDTH, Drawing, Pen, at, states
from webapp.words import Words

_ABOVE = 24.0
_THICK = 40.0
_PITCH = 112.0
_MARGIN = 14.0


def row(made: SlatsResult, words: Words) -> Drawing:
    """Two neighbouring half slats and the space between them today, driest and wettest, with the limit if any."""
    scale = min((WIDTH - 2 * _MARGIN) / made.pitch_mm, CLOSEST)
    half = made.pitch_mm / 2 * scale
    near, far = WIDTH / 2 - half, WIDTH / 2 + half
    spaces = (made.space_now_mm, made.space_dry_mm, made.space_wet_mm)
    texts = (measures.clear(made).said(words), words.least(spaces[1]), words.most(spaces[2]))
    pen, told = Pen(words), []
    for index, (state, space, shown) in enumerate(zip(states(made), spaces, texts, strict=True)):
        top = index * _PITCH + _ABOVE
        foot, clear = top + _THICK, space / 2 * scale
        left, right = WIDTH / 2 - clear, WIDTH / 2 + clear
        pen.heading(top - 9, state, "the slats touch" if space < 0 else "")
        if space > 0:
            pen.box(left, top, right, foot, "void")
        pen.draw(f"M{at(near)} {at(top)}H{at(left)}V{at(foot)}H{at(near)}", "part", "end")
        pen.draw(f"M{at(far)} {at(top)}H{at(right)}V{at(foot)}H{at(far)}", "part", "end")
        pen.draw(f"M{at(near)} {at(top - 5)}V{at(foot + 5)}M{at(far)} {at(top - 5)}V{at(foot + 5)}", "ghost")
        if made.limit_mm is not None:
            reach = made.limit_mm / 2 * scale
            if reach <= WIDTH / 2:
                for place in (WIDTH / 2 - reach, WIDTH / 2 + reach):
                    pen.draw(f"M{at(place)} {at(top - 5)}V{at(foot + 5)}", "limit")
        pen.dimension(left, right, foot + 14)
        pen.text(WIDTH / 2, foot + 36, f"clear {shown}", "middle")
        told.append(f"{state.name}: clear space {shown}")
    height = 3 * _PITCH + FOOT
    pen.bar(height - 14, scale)
    caption = (
        "Two neighbouring slats cut across, to scale, from the centre of one to the centre of the next (long dashes): "
        "the centres stay, the edges move."
    )
    if made.limit_mm is not None:
        caption += " The short dashes mark the limit that you entered."
    return pen.done("The clear space between two slats", "; ".join(told), caption, height)
