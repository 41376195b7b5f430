"""Line charts as numbers and path strings for _chart.html: scales, ticks, lines, ranges, and labels kept apart."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil, floor, isfinite, log10
from typing import Literal

WIDTH = 400.0
"""Width of a chart's view box; the plots stand between `LEFT` and `RIGHT`, labels right of them."""
LEFT = 40.0
RIGHT = 322.0
HEAD = 26.0
"""Height of a plot's heading [view-box units]."""
FOOT = 30.0
"""Height of the line of names below the last plot."""
ROOM = 17.0
"""Least distance of two labels: a line of text where the chart is narrowest."""
MOST_TICKS = 5
LETTER = 8.0
"""Width of a letter of a name at a move where the chart is narrowest, on average [view-box units]."""
LINE = 17.0
"""Height of a line of such names."""

Look = Literal["", "second", "third"]
LevelLook = Literal["limit", "now", "ghost", "dim"]
Point = tuple[float, float]
Tick = tuple[float, str]
"""A place in the view box and its label."""


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight line from values (low to high) to places in the view box (start to end)."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


@dataclass(frozen=True, slots=True)
class Series:
    """A line: values at places along the axis; a value that is not finite leaves a gap. Its label stands at its end."""

    along: Sequence[float]
    values: Sequence[float]
    look: Look = ""
    label: str = ""


@dataclass(frozen=True, slots=True)
class Range:
    """The area between two lines over the same places along the axis."""

    along: Sequence[float]
    low: Sequence[float]
    high: Sequence[float]


@dataclass(frozen=True, slots=True)
class Level:
    """A line across at one value, with its label."""

    value: float
    label: str
    look: LevelLook = "ghost"


@dataclass(frozen=True, slots=True)
class Plot:
    """What is drawn over one axis of values.

    Attributes
    ----------
    heading : str
        What the values are, with their unit.
    band : (low, high) or None
        Values between which the whole width is shaded.
    height : float
        Of the plot without its heading [view-box units].
    """

    heading: str
    series: tuple[Series, ...]
    levels: tuple[Level, ...] = ()
    ranges: tuple[Range, ...] = ()
    band: tuple[float, float] | None = None
    height: float = 104.0

    @property
    def values(self) -> list[float]:
        """Every finite value that must find room."""
        found = [value for one in self.series for value in one.values]
        found += [value for one in self.ranges for value in (*one.low, *one.high)]
        found += [one.value for one in self.levels] + list(self.band or ())
        return [float(value) for value in found if isfinite(value)]


@dataclass(frozen=True, slots=True)
class Label:
    """Text right of a plot, at a height."""

    text: str
    place: float
    look: str = ""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A plot with every place worked out; ``paths`` and ``levels`` are (path, look)."""

    heading: str
    look: Look
    top: float
    bottom: float
    ticks: tuple[Tick, ...]
    paths: tuple[tuple[str, str], ...]
    levels: tuple[tuple[float, str], ...]
    areas: tuple[str, ...]
    labels: tuple[Label, ...]


@dataclass(frozen=True, slots=True)
class Move:
    """A line down all plots, with its name beside it where there is room for it."""

    place: float
    name: str = ""
    height: float = 0.0
    anchor: Literal["start", "end"] = "start"


@dataclass(frozen=True, slots=True)
class Table:
    """A chart's numbers as text."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """Plots one below the other over one axis, with what a reader who cannot see them needs."""

    title: str
    words: str
    plots: tuple[Drawn, ...]
    steps: tuple[Tick, ...]
    moves: tuple[Move, ...]
    table: Table
    height: float
    width: float = WIDTH
    left: float = LEFT
    right: float = RIGHT


def chart(
    plots: Sequence[Plot],
    along: tuple[float, float],
    steps: Iterable[Tick],
    title: str,
    words: str,
    table: Table,
    moves: Iterable[Tick] = (),
) -> Chart:
    """Work out where everything stands.

    Parameters
    ----------
    along : (first, last)
        The span of the axis that the plots share.
    steps : iterable of (place along the axis, name)
        The names below the last plot.
    title, words : str
        The chart's name, and its finding in one sentence.
    table : Table
        The numbers behind it.
    moves : iterable of (place along the axis, name)
        Lines down all plots, in rising order.

    Raises
    ------
    ValueError
        A plot without a finite value, or an axis without length.
    """
    if not along[0] < along[1]:
        raise ValueError("the axis needs a first and a later last place")
    across = Scale(*along, LEFT, RIGHT)
    drawn, top = [], 0.0
    for plot in plots:
        one = _drawn(plot, across, top)
        drawn.append(one)
        top = one.bottom + 6.0
    names = tuple((across(place), name) for place, name in steps)
    marks = _moves([(across(place), name) for place, name in moves], drawn[0].top)
    return Chart(title, words, tuple(drawn), names, marks, table, top - 6.0 + FOOT)


def _drawn(plot: Plot, across: Scale, above: float) -> Drawn:
    values = plot.values
    if not values:
        raise ValueError(f"{plot.heading}: there is no value to draw")
    marks = ticks(min(values), max(values))
    top, bottom = above + HEAD, above + HEAD + plot.height
    up = Scale(marks[0], marks[-1], bottom, top)
    areas = [area(_placed(one.along, one.low, across, up), [up(value) for value in one.high]) for one in plot.ranges]
    if plot.band is not None:
        ends = (across.start, across.end)
        areas.insert(0, area([(end, up(plot.band[0])) for end in ends], [up(plot.band[1])] * 2))
    return Drawn(
        plot.heading,
        plot.series[0].look if len(plot.series) == 1 else "",
        top,
        bottom,
        tuple((up(mark), f"{mark:.6g}") for mark in marks),
        tuple((path(_placed(one.along, one.values, across, up)), one.look) for one in plot.series),
        tuple((up(one.value), one.look) for one in plot.levels),
        tuple(areas),
        _labels(plot, up),
    )


def _placed(along: Sequence[float], values: Sequence[float], across: Scale, up: Scale) -> list[Point]:
    return [(across(place), up(value)) for place, value in zip(along, values, strict=True)]


def _labels(plot: Plot, up: Scale) -> tuple[Label, ...]:
    """The labels of levels and lines, each as near as it can be to what it names."""
    wanted = [Label(one.label, up(one.value), "of-limit" if one.look == "limit" else "") for one in plot.levels]
    for one in plot.series:
        ends = [value for value in one.values if isfinite(value)]
        if ends:
            wanted.append(Label(one.label, up(ends[-1]), one.look))
    wanted = sorted((one for one in wanted if one.text), key=lambda one: one.place)
    places = apart([one.place for one in wanted], ROOM, up.end, up.start)
    return tuple(Label(one.text, place, one.look) for one, place in zip(wanted, places, strict=True))


def _moves(marks: Sequence[Tick], top: float) -> tuple[Move, ...]:
    """Names in as many lines as keep them apart, each right of its own line or, at the end of the axis, left of it."""
    ends: list[float] = []
    found = []
    for place, name in marks:
        width = LETTER * len(name)
        turned = place + width > RIGHT
        start = place - width if turned else place
        row = next((row for row, end in enumerate(ends) if end < start), len(ends))
        ends[row : row + 1] = [start + width]
        found.append(Move(place, name, top + LINE * (row + 0.5), "end" if turned else "start"))
    return tuple(found)


def ticks(low: float, high: float, most: int = MOST_TICKS) -> tuple[float, ...]:
    """Round numbers from at or below low to at or above high, in steps of 1, 2 or 5 times a power of ten.

    Parameters
    ----------
    most : int
        The most ticks, at least 3.

    Raises
    ------
    ValueError
        Low above high, a value that is not finite, or fewer than 3 ticks asked for.

    Example
    -------
    >>> ticks(6.2, 11.1)
    (6.0, 8.0, 10.0, 12.0)
    >>> ticks(8, 8)
    (7.0, 7.5, 8.0, 8.5, 9.0)
    """
    if not (isfinite(low) and isfinite(high) and low <= high) or most < 3:
        raise ValueError(f"no ticks from {low} to {high} with at most {most}")
    if low == high:
        low, high = low - 1.0, high + 1.0
    power = floor(log10((high - low) / most)) - 1
    while True:
        for digit in (1, 2, 5):
            step = digit * 10.0**power
            first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
            if last - first < most:
                return tuple(round(count * step, max(0, -power)) for count in range(first, last + 1))
        power += 1


def path(points: Iterable[Point]) -> str:
    """An SVG path through points, broken where one is not finite.

    Example
    -------
    >>> path([(0, 1), (10, 2.25), (20, float("nan")), (30, 4), (40, 5)])
    'M0 1L10 2.2M30 4L40 5'
    """
    return "".join("M" + "L".join(_at(point) for point in run) for run in _runs(points))


def area(lower: Iterable[Point], upper: Sequence[float]) -> str:
    """An SVG path around the area from lower points up to other heights over the same places, broken likewise.

    Example
    -------
    >>> area([(0, 8), (10, 9)], [1, 2])
    'M0 8L10 9L10 2L0 1Z'
    """
    both = [(x, low, high) for (x, low), high in zip(lower, upper, strict=True)]
    shapes = []
    for whole, run in groupby(both, key=lambda one: isfinite(one[1]) and isfinite(one[2])):
        if whole:
            piece = list(run)
            around = [(x, low) for x, low, _ in piece] + [(x, high) for x, _, high in reversed(piece)]
            shapes.append("M" + "L".join(_at(point) for point in around) + "Z")
    return "".join(shapes)


def apart(places: Sequence[float], room: float, low: float, high: float) -> list[float]:
    """Places moved as little as keeps their order and at least room between neighbours, within low to high.

    Where they cannot all stand there, they keep their distance and pass the low end.

    Parameters
    ----------
    places : sequence of float
        In rising order.

    Example
    -------
    >>> apart([10, 12, 50], 15, 0, 100)
    [3.5, 18.5, 50.0]
    """
    # Clusters of labels that touch, each (sum of wished starts, count); a cluster starts at the mean of its wishes.
    # That is isotonic regression of the places less their index times room; scipy.optimize is slow to load for it.
    clusters: list[tuple[float, int]] = []

    def start(cluster: tuple[float, int]) -> float:
        wished = cluster[0] / cluster[1]
        return min(max(wished, low), high - (cluster[1] - 1) * room)

    for place in places:
        cluster = (float(place), 1)
        while clusters and start(clusters[-1]) + clusters[-1][1] * room > start(cluster):
            total, count = clusters.pop()
            cluster = (total + cluster[0] - cluster[1] * count * room, count + cluster[1])
        clusters.append(cluster)
    return [start(cluster) + index * room for cluster in clusters for index in range(cluster[1])]


def _runs(points: Iterable[Point]) -> list[list[Point]]:
    split = groupby(points, key=lambda point: isfinite(point[0]) and isfinite(point[1]))
    return [list(run) for whole, run in split if whole]


def _at(point: Point) -> str:
    return " ".join(f"{round(value, 1):g}" for value in point)
