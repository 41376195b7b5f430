"""What stands on labels: of a part, of each piece of wood that it is cut from, of a frame's stiles and rails."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from webapp import members
from webapp.cutting import Alike, Extra
from webapp.lines import FrameLines, Line, percent
from webapp.members import Members
from webapp.typeset import NO_BREAK
from webapp.words import Words


@dataclass(frozen=True, slots=True)
class Tag:
    """What stands on the labels of pieces that are alike.

    Attributes
    ----------
    number : str
        That of its part; empty of a frame's members.
    page : str
        What its code opens, within the piece's address.
    place : str
        Where it goes.
    counts : sequence of tuple of str
        For each label which of how many it is, and how many pieces it stands for; empty where it is the one of one.
    size, what, short, bias, mind : str
        As of `webapp.lines.Line`.
    stock : str
        What it is cut from, and its moisture today.
    problem : str
        Why it could not be sized; empty where it was.
    """

    number: str
    name: str
    page: str
    place: str
    counts: Sequence[tuple[str, ...]]
    size: str
    what: str
    short: str
    bias: str = ""
    mind: str = ""
    stock: str = ""
    problem: str = ""
    fits: bool = True


def part(line: Line, place: str) -> Tag:
    """A part; pieces of it that are cut alike share its label, but leaves of a door."""
    pieces = line.pieces
    shared = (pieces.said(1),) if pieces.number > 1 and not pieces.each else ()
    return Tag(
        f"{line.number}",
        line.name,
        f"parts/{line.id}",
        place,
        [_bound(*_of("", copy, line.labels), *shared) for copy in range(1, line.labels + 1)],
        line.size or line.leave,
        line.what,
        line.short,
        line.bias,
        line.mind,
        _stock(line.stock, line.moisture_words),
        line.problem,
        line.fits,
    )


def pieces(line: Line, place: str) -> Iterator[Tag]:
    """A part with a label for every piece that is cut for it, as far as their number is told."""
    whole = part(line, place)
    number, one = line.pieces.number, line.pieces.one
    if not line.fits or number < 2:
        yield whole
    else:
        groups = line.alike or (Alike(1, number, whole.size, whole.what),)
        for copy in range(1, line.count + 1):
            for group in groups:
                which = range(group.first, group.last + 1)
                counts = [_bound(*_of("", copy, line.count), *_of(one, piece, number)) for piece in which]
                yield replace(whole, counts=counts, size=group.size, what=group.what)
    if line.extra is not None:
        yield _extra(line, line.extra, whole)


def _extra(line: Line, extra: Extra, whole: Tag) -> Tag:
    own = next((beside for beside in line.beside if beside.name == extra.name), None)
    stock = (line.stock, line.moisture) if own is None else (own.stock, own.moisture)
    return replace(
        whole,
        name=f"{line.name}, {extra.name}",
        counts=[_bound(*_of("", copy, line.count)) for copy in range(1, line.count + 1)],
        size=extra.size,
        what=extra.what,
        short=extra.short,
        bias="",
        mind="",
        stock=_stock(stock[0], percent(stock[1])),
    )


def members_of(drawn: FrameLines, place: str, words: Words) -> Iterator[Tag]:
    """The stiles, rails and muntins of a frame, each with a label; nothing where they are not listed."""
    wide, frames = drawn.frame.member_width_mm, members.made(drawn.frame) or 1
    if not drawn.depth or wide is None:
        return
    for copy in range(1, frames + 1):
        for one in members.of(drawn.frame):
            for which, edges in _grooved(one):
                counts = [_bound(*_of("frame", copy, frames), *_of(one.name, piece, one.number)) for piece in which]
                yield Tag(
                    "",
                    f"{one.name.capitalize()}: {drawn.name}",
                    f"frames/{drawn.frame.id}/elevation",
                    place,
                    counts,
                    "" if one.length is None else words.say(one.length).replace(" ", NO_BREAK),
                    f"{_length(one)}; {words.say(wide)} wide",
                    f"Groove at {edges}, {drawn.setting}",
                )


def _length(one: Members) -> str:
    """How its length is measured, or why it is not known."""
    tenons = "" if one.name == "stile" else ", add tenons"
    return f"{one.measured}{tenons}" if one.length is not None else one.unknown


def _grooved(one: Members) -> Iterator[tuple[Sequence[int], str]]:
    """Members by their numbers, the uppermost or the leftmost first, with the edges at which they are grooved."""
    if one.name == "muntin":
        yield range(1, one.number + 1), "both edges"
        return
    yield (1,), "one edge"
    if one.number > 2:
        yield range(2, one.number), "both edges"
    yield (one.number,), "one edge"


def _of(name: str, which: int, number: int) -> tuple[str, ...]:
    """Which of how many; nothing where it is the one of one."""
    return (f"{name} {which} of {number}".strip(),) if number > 1 else ()


def _bound(*texts: str) -> tuple[str, ...]:
    return tuple(text.replace(" ", NO_BREAK) for text in texts)


def _stock(name: str, moisture: str) -> str:
    return f"{name}; {moisture} today"
