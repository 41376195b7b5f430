"""The joint of two boards: a tongue in its groove, two laps, or a loose tongue."""

from movement.fits import boards
from movement.parts.boards import BoardsResult
from webapp import measures
from webapp.drawing.sheet import CLOSEST, FOOT, WIDTH, Drawing, Pen, at, states
from webapp.words import Words

_SHOULDER = 110.0
"""Where the first board's shoulder stands."""
_TIP = 225.0
"""The farthest that a tongue or a gap reaches."""
_THICK = 46.0
_ABOVE = 24.0
_PITCH = 108.0
_CAPTIONS = {
    "tongue and groove": "The tongue of one board in the groove of the next, cut across.",
    "shiplap": "The lap of one board under the next, cut across.",
    "loose tongue": "A loose tongue, slid wholly into one board: the least that it holds in the other. Cut across.",
}


def tongue(made: BoardsResult, words: Words) -> Drawing:
    """A joint of a run of boards, today, driest and wettest."""
    reach = float(boards.reach(made.tongue_mm, made.profile))
    gaps = (made.gap_now_mm, made.gap_dry_mm, made.gap_wet_mm)
    held = (made.engagement_now_mm, made.engagement_dry_mm, made.engagement_wet_mm)
    scale = min((_TIP - _SHOULDER) / max(reach, *gaps), CLOSEST, *((_SHOULDER - 10) / -gap for gap in gaps if gap < 0))
    pen, told = Pen(words), []
    opened = words.through(gaps, measures.of(made).today(words))
    for index, (state, gap, engaged, said) in enumerate(zip(states(made), gaps, held, opened, strict=True)):
        holds = words.room(engaged)
        top = index * _PITCH + _ABOVE
        shut = "the joint is closed" if gap < 0 else "the tongue is out" if engaged < 0 else ""
        pen.heading(top - 9, state, shut)
        _joint(pen, made, top, reach * scale, gap * scale)
        line, edge, tip = top + _THICK + 13, _SHOULDER + gap * scale, _SHOULDER + reach * scale
        pen.dimension(_SHOULDER, edge, line)
        pen.dimension(edge, tip, line)
        pen.text(min(_SHOULDER, edge) - 6, line + 5, f"gap {said}", "end")
        pen.text(max(edge, tip, _SHOULDER + 30) + 6, line + 5, f"engaged {holds}")
        told.append(f"{state.name}: gap {said}, engaged {holds}")
    height = 3 * _PITCH + FOOT
    pen.bar(height - 14, scale)
    caption = f"{_CAPTIONS[made.profile]} Widths are to the scale below; the boards' thickness is only drawn."
    return pen.done("A joint between two boards", "; ".join(told), caption, height)


def _joint(pen: Pen, made: BoardsResult, top: float, reach: float, gap: float) -> None:
    """Two boards; the gap first, then what moves over it."""
    edge, tip, foot = _SHOULDER + gap, _SHOULDER + reach, top + _THICK
    left, right = at(_SHOULDER), at(max(edge, _SHOULDER))
    upper, lower, mid = top + _THICK / 3, foot - _THICK / 3, top + _THICK / 2
    if gap > 0:
        pen.box(_SHOULDER, top, edge, foot, "void")
    if made.profile == "shiplap":
        pen.draw(f"M0 {at(top)}H{left}V{at(mid)}H{at(tip)}V{at(foot)}H0", "part", "end")
        pen.draw(
            f"M{at(WIDTH)} {at(top)}H{right}V{at(mid)}H{at(max(edge, _SHOULDER) + reach)}V{at(foot)}H{at(WIDTH)}",
            "part",
            "other",
        )
        if gap > 0:
            pen.box(tip, mid, edge + reach, foot, "void")
    else:
        deep = reach if made.profile == "loose tongue" else reach * 1.12
        bottom = max(edge, _SHOULDER) + deep
        groove = f"V{at(upper)}H{at(bottom)}V{at(lower)}H{right}V{at(foot)}"
        pen.draw(f"M{at(WIDTH)} {at(top)}H{right}{groove}H{at(WIDTH)}", "part", "other")
        if made.profile == "loose tongue":
            pen.draw(f"M0 {at(top)}H{left}V{at(foot)}H0", "part", "end")
            pen.box(_SHOULDER - reach, upper, tip, lower, "part-fill")
        else:
            pen.draw(f"M0 {at(top)}H{left}V{at(upper)}H{at(tip)}V{at(lower)}H{left}V{at(foot)}H0", "part", "end")
    if gap < 0:
        pen.box(edge, top, _SHOULDER, foot, "ghost")
