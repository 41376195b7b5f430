"""How a label's words are set, so that no length is ever cut: in which letters, and on one label or on two."""

from dataclasses import dataclass
from typing import Literal

from webapp.printing import Paper
from webapp.tags import Tag

Half = Literal["all", "first", "second"]

_POINT = 25.4 / 72.0
"""A point [mm]."""
_WIDTHS = (("ijlfIJ'’,.:;/|- \u00a0", 0.35), ('rt()[]!?"', 0.45), ("mwMW%@&#+<=>×−", 0.95))
"""How wide some letters are by their size: those of DejaVu Sans, which is wider than most, rounded up."""
_SMALL, _OTHER = 0.62, 0.8
"""The same of letters a to z with the digits, and of all that are left."""
_BOLD = 1.12
"""How much wider bold letters are."""
_LINE, _CLOSE = 1.2, 1.15
"""The height of a line by the size of its letters, usual and small."""
_HEAD = 9.5 * 1.35
"""The height of a line of counts [pt]: that of the page."""
_CLAMP = 2
"""The lines after which a name, a stock or a place ends in an ellipsis."""


@dataclass(frozen=True, slots=True)
class Setting:
    """How a label is set: in small letters, with stock and place on a line each, on one label or on two."""

    is_small: bool = False
    is_terse: bool = False
    is_parted: bool = False

    @property
    def halves(self) -> tuple[Half, ...]:
        """What its labels show, one after the other."""
        return ("first", "second") if self.is_parted else ("all",)


@dataclass(frozen=True, slots=True)
class _Letters:
    """Sizes of letters [pt]: of what is left open, of the bias, of the caution, of the rest; and how high a line is."""

    gap: float
    bias: float
    caution: float
    rest: float
    line: float = _LINE


@dataclass(frozen=True, slots=True)
class _Grid:
    """The room on a label [mm], by paper, and its letters [pt], as static/sheet.css draws them.

    ``code`` is how much of the width and of the height its code takes, ``apart`` what is between two paragraphs,
    ``top`` the letters of number, counts, name, size and what has that size.
    """

    room: dict[Paper, tuple[float, float]]
    code: tuple[float, float]
    apart: float
    top: tuple[float, float, float, float, float]
    usual: _Letters
    small: _Letters


_GRIDS = {
    "8": _Grid(
        {"a4": (84.0, 60.0), "letter": (87.0, 55.7)},
        (26.0, 28.0),
        0.8,
        (18.0, 9.5, 12.0, 14.0, 9.0),
        _Letters(11.0, 10.0, 7.5, 8.0),
        _Letters(8.5, 8.0, 7.5, 7.5, _CLOSE),
    ),
    "18": _Grid(
        {"a4": (57.4, 41.0), "letter": (59.3, 38.1)},
        (17.5, 18.0),
        0.3,
        (11.0, 7.0, 8.0, 10.0, 7.0),
        _Letters(7.5, 7.5, 6.5, 6.5),
        _Letters(6.5, 6.5, 6.5, 6.5, _CLOSE),
    ),
}


def of(tag: Tag, grid: str, paper: Paper) -> Setting:
    """How a label is set: the less room, the smaller and shorter; on two where all else is too long."""
    drawn = _GRIDS[grid]
    width, height = drawn.room[paper]
    room = height - _top(tag, drawn, width - drawn.code[0])
    if not tag.fits or _told(tag, drawn, drawn.usual, width) + _rest(tag, drawn, drawn.usual, width) <= room:
        return Setting()
    told = _told(tag, drawn, drawn.small, width)
    if told + _rest(tag, drawn, drawn.small, width) <= room:
        return Setting(is_small=True)
    is_parted = told + _rest(tag, drawn, drawn.small, width, most=1) > room
    return Setting(is_small=True, is_terse=True, is_parted=is_parted)


def _top(tag: Tag, drawn: _Grid, width: float) -> float:
    """How high what stands beside the code is, with what is between it and the rest."""
    number, copy, name, size, what = drawn.top
    beside = width - 1.5 * number * _LINE * _POINT
    counts = max(tag.counts, key=lambda words: len(", ".join(words)))
    paragraphs = (
        number * _LINE * _POINT + 1.0,
        max(0, _lines(", ".join((*counts, "continued")), copy, beside) - 1) * _HEAD * _POINT,
        min(_CLAMP, _lines(tag.name, name, width, _BOLD)) * name * _LINE * _POINT,
        _lines(tag.size, size, width, _BOLD) * size * _LINE * _POINT,
        _lines(tag.what, what, width) * what * _LINE * _POINT,
    )
    return max(drawn.code[1], sum(paragraphs) + 2 * drawn.apart + 0.5)


def _told(tag: Tag, drawn: _Grid, letters: _Letters, width: float) -> float:
    """How high is what is never cut: what to leave open, the bias, the caution."""
    found = (
        (_lines(tag.short, letters.gap, width, _BOLD), letters.gap),
        (_lines(f"Bias: {tag.bias}" if tag.bias else "", letters.bias, width), letters.bias),
        (_lines(f"Caution. {tag.mind}" if tag.mind else "", letters.caution, width), letters.caution),
    )
    return sum(lines * size * letters.line * _POINT + drawn.apart for lines, size in found if lines)


def _rest(tag: Tag, drawn: _Grid, letters: _Letters, width: float, most: int = _CLAMP) -> float:
    """How high are its stock and its place, of so many lines at most."""
    lines = [min(most, _lines(text, letters.rest, width)) for text in (tag.stock, tag.place)]
    return sum(lines) * letters.rest * letters.line * _POINT + len(lines) * drawn.apart


def _lines(text: str, size: float, width: float, wider: float = 1.0) -> int:
    """How many lines of a width [mm] a text takes in letters of a size [pt], broken between words."""
    lines, at, room = 0, 0.0, width / (wider * size * _POINT)
    for word in text.split(" ") if text else ():
        long = sum(_wide(letter) for letter in word)
        if not lines or at + _wide(" ") + long > room:
            lines, at = lines + 1 + int(long / room), long % room
        else:
            at += _wide(" ") + long
    return lines


def _wide(letter: str) -> float:
    known = next((wide for letters, wide in _WIDTHS if letter in letters), None)
    if known is not None:
        return known
    return _SMALL if letter.isascii() and (letter.islower() or letter.isdigit()) else _OTHER
