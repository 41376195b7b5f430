"""The stiles, rails and muntins of a frame: how many, and how long where that is known."""

from collections.abc import Sequence
from dataclasses import dataclass

from movement.piece import Frame
from webapp.words import Words

_SAME = 0.005
"""Sight sizes that differ by less are the same [mm]."""


@dataclass(frozen=True, slots=True)
class Members:
    """Members of a frame that are alike; ``length`` [mm] is None where it cannot be known, for the reason ``why``."""

    number: int
    name: str
    length: float | None
    measured: str
    why: str = ""

    @property
    def unknown(self) -> str:
        """That its length cannot be known, and why."""
        return f"length not known: {self.why}"

    def said(self, words: Words, frames: int = 1) -> str:
        """They in words, of so many frames."""
        number = self.number * frames
        several = f"{number} {self.name}{'' if number == 1 else 's'}"
        if self.length is None:
            return f"{several}, {self.unknown}"
        return f"{several}, {words.say(self.length)} {self.measured}"


def of(frame: Frame) -> Sequence[Members]:
    """The members of one frame as it is drawn; none where it has no panel, or the width of its members is not told.

    Notes
    -----
    Rails and muntins run between shoulders, so that their tenons come on top; stiles run over the whole height.
    """
    member, panels = frame.member_width_mm, frame.panels
    if member is None or not panels:
        return ()
    (between, high), (_, long) = inside(frame), whole(frame)
    rail, stile = "its panels’ sight widths differ", "a sight height is not told, or they differ"
    shoulders = "between shoulders"
    is_row, crossings = frame.layout == "row", len(panels) - 1
    found = [
        Members(2, "stile", long, "long", stile),
        Members(2 if is_row else 2 + crossings, "rail", between, shoulders, rail),
    ]
    if is_row and crossings:
        found.append(Members(crossings, "muntin", high, shoulders, stile))
    return found


def is_mixed(frame: Frame) -> bool:
    """Whether a frame's panels cannot stand in one column, for their widths, or in one row, for their heights."""
    is_row = frame.layout == "row"
    sizes = [part.sight_height_mm if is_row else part.sight_width_mm for part in frame.panels]
    told = [size for size in sizes if size is not None]
    return bool(told) and _alike(told) is None


def inside(frame: Frame) -> tuple[float | None, float | None]:
    """How wide a frame is between its stiles, and how high between its outer rails [mm]; None where not known."""
    member = frame.member_width_mm
    widths: list[float | None] = [part.sight_width_mm for part in frame.panels]
    heights = [part.sight_height_mm for part in frame.panels]
    if frame.layout == "row":
        return _along(widths, member), _alike(heights)
    return _alike(widths), _along(heights, member)


def whole(frame: Frame) -> tuple[float | None, float | None]:
    """How wide a frame is between its stiles, and how high it is over all [mm]; None where not known."""
    wide, high = inside(frame)
    member = frame.member_width_mm
    return wide, None if high is None or member is None else high + 2 * member


def made(frame: Frame) -> int | None:
    """How many such frames are made: as often as each of its panels; None where these differ."""
    counts = {part.count for part in frame.panels}
    return counts.pop() if len(counts) == 1 else None


def said(frame: Frame, words: Words) -> str:
    """The members of a frame in a line; empty where they cannot be listed."""
    member = frame.member_width_mm
    found = of(frame)
    if member is None or not found:
        return ""
    frames = made(frame)
    several = " for one such frame" if frames is None else "" if frames == 1 else f" for {frames} such frames"
    told = "; ".join(one.said(words, frames or 1) for one in found)
    return f"{told}. Each {words.say(member)} wide; add tenons{several}."


def _alike(sizes: Sequence[float | None]) -> float | None:
    """The one size of all; None where they differ or one is not told."""
    told = [size for size in sizes if size is not None]
    return told[0] if told and len(told) == len(sizes) and max(told) - min(told) < _SAME else None


def _along(sizes: Sequence[float | None], member: float | None) -> float | None:
    """Sizes one after another with a member between each two; None where something is not told."""
    told = [size for size in sizes if size is not None]
    if not told or len(told) < len(sizes) or (member is None and len(told) > 1):
        return None
    return sum(told) + (len(told) - 1) * (member or 0.0)
