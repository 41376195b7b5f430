"""The frames of a piece's doors: as wide between their stiles as the door's rails are long, and as high as the door."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from movement.fits.panel import SIGHT_WIDTH
from movement.parts.any import DoorPart, SizedPart
from movement.parts.door import DoorResult
from movement.parts.making import PartResult
from movement.parts.panel import SIGHT_HEIGHT
from movement.piece import Frame, PanelPart, Piece
from webapp import edits, members, worked
from webapp.words import Words

ALIKE = 0.5
"""How far a frame may be from a door and still be taken for that door's [mm]; project choice, no source."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """A leaf of a framed door: a rail between its shoulders, and the height where that is told [mm]."""

    rail: float
    height: float | None


def framed(made: PartResult) -> Leaf | None:
    """A leaf of a door; ``None`` of what is no door, or is a slab, or does not fit."""
    if not isinstance(made, DoorResult) or made.rail_mm is None or not made.fits:
        return None
    return Leaf(made.rail_mm, made.cut_height_mm)


def of(piece: Piece, id: str | None) -> Leaf | None:
    """A leaf of the door of this handle; ``None`` where the piece has none, or as for `framed`."""
    for part in piece.parts:
        if part.id == id:
            sized = worked.part(piece, part)
            return None if isinstance(sized, str) else framed(sized.result)
    return None


def frames(piece: Piece, id: str) -> Sequence[Frame]:
    """The frames that are told to be those of a door."""
    return [frame for frame in piece.frames if frame.door == id]


def with_frame(piece: Piece, id: str) -> tuple[Piece, Frame | None]:
    """The piece with the frame of a door at its end: one panel fills it, made as often as there are leaves.

    Its rails are taken to be as wide as a stile. The piece is as it was where the door has no frame, as for `framed`.

    Raises
    ------
    MissingError
        The piece has no such door.
    """
    part, leaf = edits.part_of(piece, id), of(piece, id)
    if not isinstance(part, DoorPart) or part.stile_width_mm is None or leaf is None:
        return piece, None
    stile, count = part.stile_width_mm, part.leaves * part.count
    high = None if leaf.height is None else leaf.height - 2 * stile
    name, several = (part.name or "Door")[: edits.MOST_NAME - 8], "s" if count > 1 else ""
    panel = PanelPart(
        id=edits.fresh("p"),
        name=f"{name}, panel{several}",
        count=count,
        sight_width_mm=leaf.rail,
        sight_height_mm=high if high is not None and high >= SIGHT_HEIGHT[0] else None,
    )
    frame = Frame(id=edits.fresh("f"), name=f"{name}, frame{several}", door=id, member_width_mm=stile, panels=[panel])
    return edits.with_frames(piece, [*piece.frames, frame]), frame


def follow(before: Piece, after: Piece) -> Piece:
    """The piece after a change, with the frames of its doors changed along where they agreed with their doors before.

    A frame that would leave the range of its panels' sights stays as it is.
    """
    doors = {id: (of(before, id), of(after, id)) for id in {frame.door for frame in after.frames if frame.door}}
    changed = [_following(frame, *doors[frame.door]) if frame.door else frame for frame in after.frames]
    return after if changed == after.frames else edits.with_frames(after, changed)


def _following(frame: Frame, was: Leaf | None, now: Leaf | None) -> Frame:
    if was is None or now is None or was == now:
        return frame
    wide, high = members.whole(frame)
    return _resized(frame, _grown(wide, was.rail, now.rail), _grown(high, was.height, now.height))


def _grown(size: float | None, was: float | None, now: float | None) -> float:
    """How much a frame has to grow that agreed with its door until now [mm]."""
    if size is None or was is None or now is None or was == now or abs(size - was) > ALIKE:
        return 0.0
    return now - size


def _resized(frame: Frame, wider: float, higher: float) -> Frame:
    """The frame with its panels' sights grown alike."""
    across, up = (len(frame.panels), 1) if frame.layout == "row" else (1, len(frame.panels))
    panels = []
    for panel in frame.panels:
        width, height = panel.sight_width_mm + wider / across, panel.sight_height_mm
        height = height if height is None else height + higher / up
        fits = SIGHT_WIDTH[0] <= width <= SIGHT_WIDTH[1]
        if not fits or not (height is None or SIGHT_HEIGHT[0] <= height <= SIGHT_HEIGHT[1]):
            return frame
        panels.append(panel.model_copy(update={"sight_width_mm": width, "sight_height_mm": height}))
    return frame.model_copy(update={"panels": panels})


def odd(piece: Piece, part: SizedPart, made: PartResult, words: Words) -> str:
    """What to know where a door's frames are not as it is, or none of the piece is as wide as its rails are long."""
    leaf = framed(made)
    if leaf is None:
        return ""
    own = frames(piece, part.id)
    if own:
        return " ".join(text for frame in own for text in _apart(frame, leaf, words))
    known = sorted({width for frame in piece.frames if (width := members.whole(frame)[0]) is not None})
    if not known or any(abs(width - leaf.rail) <= ALIKE for width in known):
        return ""
    told = words.say(leaf.rail)
    return (
        f"A frame for this door is {told} wide between its stiles, as long as its rails between shoulders: that is the "
        f"sight width of a panel that fills it. No frame here is that wide; they are {_listed(known, words)}."
    )


def _apart(frame: Frame, leaf: Leaf, words: Words) -> Iterator[str]:
    """Where a frame is not as its door."""
    wide, high = members.whole(frame)
    name = f"“{frame.name or 'Frame'}”, the frame of this door, is"
    if wide is not None and abs(wide - leaf.rail) > ALIKE:
        yield f"{name} {words.say(wide)} wide between its stiles, but the door’s rails are {words.say(leaf.rail)} long."
    if high is not None and leaf.height is not None and abs(high - leaf.height) > ALIKE:
        yield f"{name} {words.say(high)} high, but the door is {words.say(leaf.height)}."


def _listed(lengths: Sequence[float], words: Words) -> str:
    most = 6
    more = f" and {len(lengths) - most} more" if len(lengths) > most else ""
    return f"{', '.join(words.say(length) for length in lengths[:most])}{more}"
