"""The end grain of a board: its rings to scale, and its shape when driest and wettest, drawn larger than it moves."""

import math
from collections.abc import Iterable, Iterator
from itertools import pairwise

import numpy as np

from movement.endgrain import Change, Heart, Points, Rings, Straight
from movement.parts.endgrain import BoardRequest, BoardResult
from webapp.drawing.sheet import FOOT, LINE, WIDTH, Drawing, Pen, State, at
from webapp.words import Words

_ACROSS = 280.0
_TALL = 120.0
"""The most that the board takes of the sheet, across and up."""
_MOVED = 26.0
"""The most that a point of it is drawn away from its place of today."""
_TIMES = (500, 200, 100, 50, 20, 10, 5, 2, 1)
_RINGS = 16
_CLOSE = 6.0
"""The most rings that are drawn, and the least between them [view-box units]."""
_STEPS = 24


def section(asked: BoardRequest, made: BoardResult, words: Words) -> Drawing:
    """A board's end grain today with its rings, and its section when driest and wettest over today's."""
    rings, wide, thick = asked.place(), made.width_mm, made.thickness_mm
    scale = min(_ACROSS / wide, _TALL / thick)
    outline = _outline(wide, thick)
    shapes = [_settled(rings, outline, wide, change) for change in asked.changes(asked.season())]
    times = _times(max(float(np.abs(shape - outline).max()) for shape in shapes) * scale)
    pen = Pen(words)
    half, right = thick * scale / 2, (WIDTH + wide * scale) / 2
    pen.heading(15.0, State("Today", made.moisture_now_pct))
    pen.text(WIDTH / 2, LINE + 15, "bark side", "middle")
    middle = LINE + 24 + half
    _draw(pen, outline, middle, scale, "part")
    pen.draw("".join(_ring_lines(rings, wide, thick, middle, scale)), "dim")
    pen.text(WIDTH - right - 7, middle + 5, f"{made.ring_angle_left_deg:.0f}°", "end")
    pen.text(right + 7, middle + 5, f"{made.ring_angle_right_deg:.0f}°")
    heart = _heart(made, words)
    pen.text(WIDTH / 2, middle + half + LINE, f"{made.ring_angle_middle_deg:.0f}° in the middle", "middle")
    pen.text(WIDTH / 2, middle + half + 2 * LINE, heart, "middle")
    told = [
        f"Ring angle {made.ring_angle_left_deg:.0f}° at the left edge, {made.ring_angle_middle_deg:.0f}° in the "
        f"middle, {made.ring_angle_right_deg:.0f}° at the right edge; {heart}"
    ]
    top = middle + half + 3 * LINE + 8
    cups = (
        ("Driest", made.moisture_dry_pct, made.hollow_dry, made.cup_dry_mm),
        ("Wettest", made.moisture_wet_pct, made.hollow_wet, made.cup_wet_mm),
    )
    for (name, moisture, hollow, cup), shape in zip(cups, shapes, strict=True):
        said = "flat" if hollow == "neither" else f"{hollow} hollow by {words.fine(abs(cup))}"
        pen.heading(top, State(name, moisture))
        pen.text(0.0, top + LINE - 2, said)
        middle = top + LINE + 4 + _MOVED + half
        _draw(pen, outline, middle, scale, "dim")
        _draw(pen, outline + (shape - outline) * times, middle, scale, "ghost")
        top = middle + half + _MOVED + LINE
        told.append(f"{name}, at {moisture:.1f} %: {said}")
    height = top - LINE + FOOT + 6
    pen.bar(height - 14, scale)
    caption = (
        f"Seen on the end, bark side up, to the scale below; as many rings are drawn as show their run. Thin line: "
        f"today, flat. Dashed: what becomes of it, the change drawn {times} times as large as it is."
    )
    return pen.done("The end grain", "; ".join(told), caption, height)


def _outline(wide: float, thick: float) -> Points:
    """Points around the section, closed."""
    across, up = wide / 2, 1j * thick / 2
    run = np.linspace(-across, across, _STEPS + 1)
    return np.concatenate([run + up, run[::-1] - up, [complex(-across, thick / 2)]])


def _settled(rings: Rings, points: Points, wide: float, change: Change) -> Points:
    """Where points come to, laid so that the middle line's ends are level and as far to the left as to the right."""
    ends = rings.moved(np.array([-wide / 2 + 0j, wide / 2 + 0j]), change)
    chord = complex(ends[1] - ends[0])
    return np.asarray((rings.moved(points, change) - complex(ends.mean())) * abs(chord) / chord)


def _times(largest: float) -> int:
    """How many times as large the movement is drawn, when the largest of it takes so much of the sheet."""
    return next((times for times in _TIMES if times * largest <= _MOVED), 1)


def _heart(made: BoardResult, words: Words) -> str:
    if made.heart_depth_mm is None or made.heart_offset_mm is None:
        return "rings as good as straight"
    down, beside = words.say(made.heart_depth_mm), words.say(abs(made.heart_offset_mm))
    if beside == words.say(0.0):
        return f"heart {down} down"
    return f"heart {down} down, {beside} {'right' if made.heart_offset_mm > 0 else 'left'}"


def _draw(pen: Pen, points: Points, middle: float, scale: float, look: str) -> None:
    line = "L".join(_at(point, middle, scale) for point in points[:-1].tolist())
    pen.draw(f"M{line}z", look)  # type: ignore[arg-type]


def _at(point: complex, middle: float, scale: float) -> str:
    return f"{at(WIDTH / 2 + point.real * scale)} {at(middle - point.imag * scale)}"


def _ring_lines(rings: Rings, wide: float, thick: float, middle: float, scale: float) -> Iterator[str]:
    """The rings within the section, as paths."""
    corners = [complex(x, y) for x in (-wide / 2, wide / 2) for y in (-thick / 2, thick / 2)]
    if isinstance(rings, Straight):
        outward = 1j * np.exp(-1j * math.radians(rings.angle))
        for out in _spread([(corner / outward).real for corner in corners], scale):
            for first, last in _chords(complex(outward), out, wide, thick):
                yield f"M{_at(first, middle, scale)}L{_at(last, middle, scale)}"
        return
    centre = complex(rings.beside, -rings.below)
    for radius in _spread(_reach(rings, corners, wide, thick), scale):
        for first, last in _arcs(rings, radius, wide, thick):
            start, end = (centre + 1j * radius * np.exp(-1j * angle) for angle in (first, last))
            round_ = at(radius * scale)
            yield f"M{_at(start, middle, scale)}A{round_} {round_} 0 0 1 {_at(end, middle, scale)}"


def _reach(rings: Heart, corners: Iterable[complex], wide: float, thick: float) -> list[float]:
    """Distances from the heart of the section's nearest and farthest places."""
    x = max(-wide / 2, min(wide / 2, rings.beside))
    y = max(-thick / 2, min(thick / 2, -rings.below))
    centre = complex(rings.beside, -rings.below)
    return [abs(complex(x, y) - centre), *(abs(corner - centre) for corner in corners)]


def _spread(ends: list[float], scale: float) -> list[float]:
    """Evenly spread distances between the least and the greatest, not too close."""
    low, high = min(ends), max(ends)
    count = max(1, min(_RINGS, int((high - low) * scale / _CLOSE)))
    step = (high - low) / count
    return [low + (index + 0.5) * step for index in range(count)]


def _arcs(rings: Heart, radius: float, wide: float, thick: float) -> Iterator[tuple[float, float]]:
    """The parts of a ring within the section, as angles from straight up."""
    cuts = []
    for side in (-wide / 2, wide / 2):
        share = (side - rings.beside) / radius
        if abs(share) <= 1:
            cuts += [math.asin(share), math.pi - math.asin(share)]
    for level in (-thick / 2, thick / 2):
        share = (level + rings.below) / radius
        if abs(share) <= 1:
            cuts += [math.acos(share), -math.acos(share)]
    angles = sorted((cut + math.pi) % (2 * math.pi) - math.pi for cut in cuts)
    for first, last in pairwise(angles):
        mid = (first + last) / 2
        x, y = rings.beside + radius * math.sin(mid), radius * math.cos(mid) - rings.below
        if abs(x) <= wide / 2 and abs(y) <= thick / 2 and last - first > 1e-9:
            yield first, last


def _chords(outward: complex, out: float, wide: float, thick: float) -> Iterator[tuple[complex, complex]]:
    """The part of a straight ring, so far out, within the section."""
    foot, run = outward * out, outward * -1j
    low, high = -math.inf, math.inf
    for start, step, reach in ((foot.real, run.real, wide / 2), (foot.imag, run.imag, thick / 2)):
        if abs(step) > 1e-12:
            first, last = sorted(((-reach - start) / step, (reach - start) / step))
            low, high = max(low, first), min(high, last)
        elif abs(start) > reach:
            return
    if high > low:
        yield foot + run * low, foot + run * high
